// SPDX-License-Identifier: Apache-2.0
// Weeks on virtual time: eight bays of the whole daemon, one ticket after the other, over a real database
// file. What must not grow is looked at once a day, from inside.
#include <fmt/format.h>
#include <malloc.h>
#include <sched.h>

#include <algorithm>
#include <charconv>
#include <cstdlib>
#include <filesystem>
#include <iostream>

#include "daemon/store/sqlite_store.h"
#include "tools/benchmarks/measure.h"
#include "tools/benchmarks/sections.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/rehearse/world.h"

namespace leadwright {

namespace {

namespace fs = std::filesystem;

constexpr int soak_bays = 8;
constexpr const char* soaker = "benchmark";
constexpr Second soak_day = hours(24.0);
/// Virtual time must not outrun the disk.
constexpr std::size_t backlog_waits_at = 64;
constexpr double mebibyte = 1024.0 * 1024.0;
/// Goals of a soak (shared reliability goals, row 16).
constexpr double grows_max_mib = 1.0;
constexpr double log_max_mib = 64.0;

struct SoakDay {
  double heap_mib = 0.0;
  std::ptrdiff_t descriptors = 0;
  double log_mib = 0.0;
  double database_mib = 0.0;
  std::size_t backlog_max = 0;
  std::uint64_t tickets = 0;
  std::uint64_t runs = 0;
};

class Soak {
 public:
  explicit Soak(const BenchmarkConfig& config) : folder_(fs::path(config.folder()) / "soak") {
    SimBenchOptions sim;
    sim.bays = soak_bays;
    sim.ideal = false;
    sim.answer_after = Second(0.02);
    sim_ = std::make_unique<SimBench>(sim, clock_);
    links_ = std::make_unique<MemoryLinkFactory>(clock_);
    sim_->add_to(*links_, {});
    auto store = SqliteStore::open({folder_.string(), true}, clock_.loop());
    auto plan = Plan::read(settings(config));
    if (!store || !plan) fail_at("the bench");
    store_ = std::move(*store);
    plan_ = std::move(*plan);
    auto bench = plan_->build({clock_, clock_}, *store_, *links_);
    auto stored = store_->load();
    if (!bench || !stored) fail_at("the daemon");
    bench_ = std::move(*bench);
    bench_->on_run_ended = [this](const Place&, const RunResult&) { ++today_.runs; };
    bench_->begin(std::move(*stored));
    run_for(minutes(1.0));
  }

  SoakDay day() {
    today_.backlog_max = 0;
    const Instant end = clock_.now() + soak_day;
    while (clock_.now() < end) {
      for (int bay = 1; bay <= soak_bays; ++bay) tend(fmt::format("bay-{}", bay));
      run_for(minutes(10.0));
    }
    // A trace that grows is no growth of the daemon: looked at while nothing runs.
    while (is_working()) run_for(minutes(5.0));
    while (store_->backlog() > 0) ::sched_yield();
    const auto heap = ::mallinfo2();
    today_.heap_mib = static_cast<double>(heap.uordblks + heap.hblkhd) / mebibyte;
    today_.descriptors = std::distance(fs::directory_iterator("/proc/self/fd"), fs::directory_iterator());
    today_.database_mib = size_mib(database_path(folder_.string()));
    today_.log_mib = size_mib(database_path(folder_.string()) + "-wal");
    return today_;
  }

 private:
  [[noreturn]] static void fail_at(const char* what) {
    std::cerr << "soak: " << what << " failed\n";
    std::exit(1);
  }
  static double size_mib(const std::string& file) {
    std::error_code absent;
    const auto bytes = fs::file_size(file, absent);
    return absent ? 0.0 : static_cast<double>(bytes) / mebibyte;
  }
  Settings settings(const BenchmarkConfig& config) const {
    Settings settings;
    settings.bench_time = "virtual";
    settings.procedures_folder = config.folder() + "/procedures";
    settings.policy_file = config.folder() + "/policies/bench.toml";
    settings.estimator_file = config.folder() + "/estimator.toml";
    for (int bay = 1; bay <= soak_bays; ++bay) {
      PlaceSettings place;
      place.name = fmt::format("bay-{}", bay);
      place.kind = PlaceKind::bay;
      place.attended_only = false;
      const auto wired = [&](const std::string& role) {
        const std::string name = place.name + "." + role;
        return InstrumentSettings{config.profile("simulated_" + role), "memory:" + name, "", std::nullopt};
      };
      place.load = wired("load");
      place.charger = wired("charger");
      place.thermometer = wired("thermometer");
      settings.places.push_back(std::move(place));
    }
    PlaceSettings shelf;
    shelf.name = "shelf";
    shelf.kind = PlaceKind::shelf;
    settings.places.push_back(std::move(shelf));
    return settings;
  }

  bool is_working() const {
    return std::ranges::any_of(bench_->places(),
                               [](const auto& place) { return place->activity() == Activity::running; });
  }

  void run_for(Second time) {
    const auto look = [this] {
      while (store_->backlog() > backlog_waits_at) ::sched_yield();
      today_.backlog_max = std::max(today_.backlog_max, store_->backlog());
      return false;
    };
    const Instant end = clock_.now() + time;
    clock_.run_until(look, end);
    clock_.run_for(end - clock_.now());
  }

  std::optional<Response> asked(const std::string& verb, const std::string& subject,
                                const std::string& body) {
    std::optional<Response> response;
    bench_->handle({verb, subject, body, soaker, {}},
                   [&response](Response answer) { response = std::move(answer); });
    // The store answers on a thread of its own, in real time.
    for (int patience = 0; !response && patience < 1000; ++patience) {
      while (store_->backlog() > 0) ::sched_yield();
      clock_.run_for(Second(0.01));
    }
    return response;
  }

  /// Ends the ticket there when its run has ended, and brings the next battery.
  void tend(const std::string& place) {
    Place& at = *bench_->place(place);
    if (at.activity() == Activity::running) return;
    if (std::string& old = ticket_at_[place]; !old.empty()) {
      (void)asked("ticket.move", old, R"({"place":"shelf"})");
      (void)asked("ticket.close", old, R"({"as":"scrapped"})");
      old.clear();
    }
    auto battery = make_battery("cell:sound,c20_ah=60,charged=0.95");
    (void)sim_->unplug(place);
    if (!battery || !sim_->plug(place, std::move(*battery))) fail_at("a battery");
    const auto added =
        asked("ticket.add", "",
              fmt::format(R"({{"battery":{{"serial":"soak {}","chemistry":"flooded","cells":6,)"
                          R"("c20_ah":60}},"procedures":["{}"]}})",
                          ++today_.tickets, slow_draw));
    if (!added || added->status >= 300) fail_at("a drop-off");
    const std::string ticket = shown(bench_->ledger().files().rbegin()->first);
    ticket_at_[place] = ticket;
    (void)asked("ticket.move", ticket, fmt::format(R"({{"place":"{}"}})", place));
    (void)asked("place.acknowledge", place, R"({"of":"cautions"})");
    const auto started = asked("place.start", place, "");
    if (!started || started->status >= 300) fail_at("a start");
  }

  fs::path folder_;
  VirtualClock clock_;
  std::unique_ptr<SimBench> sim_;
  std::unique_ptr<MemoryLinkFactory> links_;
  std::unique_ptr<SqliteStore> store_;
  std::unique_ptr<Plan> plan_;
  std::unique_ptr<Bench> bench_;
  std::map<std::string, std::string> ticket_at_;
  SoakDay today_;
};

int soak_days() {
  int days = 3;
  if (const char* const wanted = std::getenv("SOAK_DAYS"); wanted != nullptr)
    std::from_chars(wanted, wanted + std::string_view(wanted).size(), days);
  return days;
}

}  // namespace

void print_soak(const BenchmarkConfig& config) {
  const int days = soak_days();
  std::cout << fmt::format(
      "soak: {} bays, {} days on virtual time (SOAK_DAYS), a real database; looked at once a day\n"
      "   day   heap MiB   descriptors   WAL MiB   database MiB   queue at most   tickets     runs\n",
      soak_bays, days);
  Soak soak(config);
  SoakDay first;
  SoakDay last;
  double log_mib = 0.0;
  for (int day = 1; day <= days; ++day) {
    last = soak.day();
    if (day == 1) first = last;
    log_mib = std::max(log_mib, last.log_mib);
    std::cout << fmt::format("  {:4}   {:8.2f}   {:11}   {:7.1f}   {:12.1f}   {:13}   {:7}   {:6}\n", day,
                             last.heap_mib, last.descriptors, last.log_mib, last.database_mib,
                             last.backlog_max, last.tickets, last.runs)
              << std::flush;
  }
  const double grown = last.heap_mib - first.heap_mib;
  std::cout << fmt::format(
      "  after day 1: heap {:+.2f} MiB ({}), {:+.2f} KiB a ticket; descriptors {:+} ({}); WAL at most {:.1f} "
      "MiB "
      "({})\n",
      grown, grown <= grows_max_mib ? "within 1" : "MISS, goal 1",
      last.tickets > first.tickets ? grown * 1024.0 / static_cast<double>(last.tickets - first.tickets) : 0.0,
      last.descriptors - first.descriptors, last.descriptors == first.descriptors ? "as wanted" : "MISS",
      log_mib, log_mib <= log_max_mib ? "within 64" : "MISS, goal 64");
}

}  // namespace leadwright
