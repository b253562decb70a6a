// SPDX-License-Identifier: Apache-2.0
// How long a stop of the whole bench takes to reach the kernel, asked for as the page and the client do.
#include <fmt/format.h>

#include <array>
#include <iostream>

#include "tools/benchmarks/measure.h"
#include "tools/benchmarks/page_readers.h"
#include "tools/benchmarks/real_bench.h"
#include "tools/benchmarks/sections.h"
#include "tools/benchmarks/slow_disk.h"

namespace leadwright {

namespace {

constexpr Second aim{0.050};
constexpr Second stall{2.0};
constexpr int pages = 100;
constexpr int times = 40;

}  // namespace

void print_stop_all(const BenchmarkConfig& config) {
  std::cout << fmt::format(
      R"(stop all: from just before a client sends the request until the off commands of every bay are with
  the kernel. Every bay draws at 10 samples/s, each sync of the disk takes {:.0f} s, {} pages read the event
  stream. Aim: under {:.0f} ms with 16 bays.
                  bays   requests      median        worst
)",
      stall.si(), pages, milliseconds(aim));
  for (const auto kind : {LinkAddress::Kind::tcp, LinkAddress::Kind::serial}) {
    for (const int bays : std::array{1, 16, 64}) {
      RealBench bench(config, {kind, bays, 0, 0, false});
      const PageReaders readers(bench.web_port(), pages);
      const SlowDisk disk(stall);
      const Spread spread = spread_of(bench.stop_all_times(times));
      std::cout << fmt::format("  {:<16}{:4}   {:8}   {:6.3f} ms   {:7.3f} ms  {}\n",
                               kind == LinkAddress::Kind::tcp ? "TCP" : "pseudo-terminal", bays, spread.count,
                               milliseconds(spread.median), milliseconds(spread.worst),
                               verdict(spread.worst.si(), aim.si()))
                << std::flush;
    }
  }
}

}  // namespace leadwright
