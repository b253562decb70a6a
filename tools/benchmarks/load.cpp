// SPDX-License-Identifier: Apache-2.0
// What people who only look, and clients that never finish, take from the bench: what a page waits for its
// answer, how much memory they cost, how late control is.
#include <fmt/format.h>
#include <sys/resource.h>
#include <unistd.h>

#include <fstream>
#include <iostream>
#include <optional>
#include <thread>

#include "tools/benchmarks/ending.h"
#include "tools/benchmarks/measure.h"
#include "tools/benchmarks/page_readers.h"
#include "tools/benchmarks/real_bench.h"
#include "tools/benchmarks/sections.h"
#include "tools/benchmarks/slow_clients.h"
#include "tools/client/http_client.h"

namespace leadwright {

namespace {

constexpr int load_bays = 16;
constexpr int watching_pages = 100;
constexpr int slow_clients = 1000;
constexpr Second looked_at_for{20.0};
constexpr Second asks_every{0.02};
/// Goals of a hostile client (shared reliability goals, row 19).
constexpr Second lateness_aim{0.010};
constexpr double memory_aim_mib = 16.0;

struct Asked {
  std::vector<Second> took;
  int refused = 0;
};

/// Asks for the bench as a page does when it opens, a connection each time, until told to end.
Asked ask_until(const std::string& url, Ending& ending) {
  Asked asked;
  do {
    const Instant began = machine_now();
    const auto answer = http_request(url, "GET", "/api/v1/bench");
    if (answer && answer->status == 200) {
      asked.took.push_back(machine_now() - began);
    } else {
      ++asked.refused;
    }
  } while (ending.pause(asks_every));
  return asked;
}

double resident_mib() {
  std::ifstream file("/proc/self/statm");
  double size = 0.0;
  double resident = 0.0;
  file >> size >> resident;
  return resident * static_cast<double>(::sysconf(_SC_PAGESIZE)) / (1024.0 * 1024.0);
}

void print_row(RealBench& bench, const char* what, double memory_before_mib) {
  Ending ending;
  Asked asked;
  std::thread page([&] { asked = ask_until(bench.url(), ending); });
  const Second waited_before = thread_waited_for_core();
  const Spread late = spread_of(bench.lateness_for(looked_at_for));
  const Second waited = thread_waited_for_core() - waited_before;
  ending.end();
  page.join();
  const Spread answers = spread_of(asked.took);
  const double memory_mib = resident_mib();
  std::cout << fmt::format("  {:<22}{:7} {:8} {:9.2f} ms {:9.2f} ms", what, answers.count, asked.refused,
                           milliseconds(answers.median), milliseconds(answers.p99))
            << fmt::format("  {:7.3f} {:7.3f} {:7.3f} ms  {:6}  {:5.1f} %", milliseconds(late.median),
                           milliseconds(late.p999), milliseconds(late.worst),
                           verdict(late.p999.si(), lateness_aim.si()),
                           100.0 * waited.si() / looked_at_for.si())
            << fmt::format("  {:+6.1f} MiB\n", memory_mib - memory_before_mib) << std::flush;
}

/// Both ends of every connection are in this program.
void allow_descriptors() {
  rlimit limit{};
  ::getrlimit(RLIMIT_NOFILE, &limit);
  limit.rlim_cur = limit.rlim_max;
  ::setrlimit(RLIMIT_NOFILE, &limit);
}

}  // namespace

void print_load(const BenchmarkConfig& config) {
  allow_descriptors();
  std::cout << fmt::format(
      R"(load: {} bays draw at 10 samples/s; every {:.0f} ms a page asks for the bench on a new connection.
  Lateness: of control's loop, woken every 5 ms. Waits: control was ready to run without a core. Memory is
  this whole program's, clients included. Aims: p99.9 of the lateness {:.0f} ms, memory {:.0f} MiB.
                        answers  refused       median          p99   late: median p99.9 worst    waits  memory
)",
      load_bays, milliseconds(asks_every), milliseconds(lateness_aim), memory_aim_mib);
  RealBench bench(config, {LinkAddress::Kind::tcp, load_bays, 0, 0, false});
  bench.begin_draws();
  bench.lateness_for(Second(3.0));  // ramps
  const double before_mib = resident_mib();
  print_row(bench, "nobody else", before_mib);
  std::optional<PageReaders> readers(std::in_place, bench.web_port(), watching_pages);
  print_row(bench, "100 pages", before_mib);
  {
    const SlowClients slow(bench.web_port(), slow_clients);
    print_row(bench, "and 1000 slow clients", before_mib);
    std::cout << fmt::format("  slow clients closed by the server: {}\n", slow.closed());
  }
  readers.reset();
  print_row(bench, "nobody else again", before_mib);
  bench.end();
}

}  // namespace leadwright
