// SPDX-License-Identifier: Apache-2.0
// What a user must count: the current at the terminals jumps above the envelope at any moment between two
// samples, and the daemon sees it, and switches off, over wires that take their time. Virtual time, so that
// only bench, wire and instrument take any: our own share is in the table of the protection time.
#include <fmt/format.h>

#include <array>
#include <iostream>
#include <random>

#include "daemon/store/memory_store.h"
#include "tools/benchmarks/measure.h"
#include "tools/benchmarks/paced_links.h"
#include "tools/benchmarks/sections.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/rehearse/world.h"

namespace leadwright {

namespace {

constexpr int seeds = 200;
constexpr Ampere over_amps{120.0};  // the simulated load's range ends at 100 A
constexpr Second settled_after{5.0};
constexpr Second patience{30.0};
constexpr const char* bay = "bay-1";
constexpr const char* tester = "benchmark";

struct LinkKind {
  const char* name;
  SimSpeech speech;
  WirePace pace;
  Second answer_after;  ///< the instrument's own
};
// Bits a character: 10 for 8N1, 11 for 8E1. What an instrument takes to measure and answer is that of no
// real one: from memory, bench loads take 5 to 50 ms.
constexpr Second no_latency{0.0};
constexpr std::array kinds{
    LinkKind{"serial 9600 8N1, SCPI", SimSpeech::scpi, {Second(10.0 / 9600), no_latency}, Second(0.02)},
    LinkKind{"serial 115200 8N1, SCPI", SimSpeech::scpi, {Second(10.0 / 115200), no_latency}, Second(0.02)},
    LinkKind{
        "serial 19200 8E1, Modbus RTU", SimSpeech::modbus, {Second(11.0 / 19200), no_latency}, Second(0.02)},
    LinkKind{"TCP, SCPI, 0.5 ms each way", SimSpeech::scpi, {Second(0.0), Second(0.0005)}, Second(0.02)},
};

/// The whole daemon at one bay whose battery is drawn at 5 A.
class DrawnBay {
 public:
  DrawnBay(const BenchmarkConfig& config, const LinkKind& kind, const char* procedure, std::uint64_t seed)
      : procedure_(procedure), store_(clock_, StorePlan{.seed = seed}) {
    SimBenchOptions sim;
    sim.bays = 1;
    sim.charging_places = 0;
    sim.ideal = true;
    sim.seed = seed;
    sim.answer_after = kind.answer_after;
    sim.loads = sim.chargers = sim.thermometers = kind.speech;
    sim_ = std::make_unique<SimBench>(sim, clock_);
    links_ = std::make_unique<PacedLinks>(*sim_, kind.pace, clock_);
    plan_ = plan_of(config, kind.speech);
    auto bench = plan_->build({clock_, clock_}, store_, *links_);
    auto stored = store_.load();
    if (!bench || !stored) std::exit(1);
    bench_ = std::move(*bench);
    bench_->begin(std::move(*stored));
  }

  /// From the jump of the current, `after` it has settled, until the load is off; nothing if it never is.
  std::optional<Second> breach(Second after) {
    Terminals& posts = *sim_->terminals(bay);
    if (!start() || !run_until([&posts] { return posts.load_amps() > Ampere(4.9); })) return std::nullopt;
    clock_.run_for(settled_after + after);
    posts.settle(clock_.now());
    posts.load.over_amps.limit.reset();
    posts.load.draw = over_amps;
    posts.changed();
    const Instant breached = clock_.now();
    if (!run_until([&posts] { return !posts.load.on; })) return std::nullopt;
    return clock_.now() - breached;
  }

 private:
  static std::unique_ptr<Plan> plan_of(const BenchmarkConfig& config, SimSpeech speech) {
    Settings settings;
    settings.bench_time = "virtual";
    settings.procedures_folder = config.folder() + "/procedures";
    settings.policy_file = config.folder() + "/policies/bench.toml";
    settings.estimator_file = config.folder() + "/estimator.toml";
    const auto wired = [&](const std::string& role) {
      const std::string spoken = speech == SimSpeech::modbus ? "simulated_modbus_" : "simulated_";
      return InstrumentSettings{config.profile(spoken + role), "memory:bay-1." + role, "", std::nullopt};
    };
    PlaceSettings place;
    place.name = bay;
    place.kind = PlaceKind::bay;
    place.attended_only = false;
    place.load = wired("load");
    place.charger = wired("charger");
    place.thermometer = wired("thermometer");
    settings.places.push_back(std::move(place));
    auto plan = Plan::read(std::move(settings));
    if (plan) return std::move(*plan);
    std::cerr << plan.error().front().line() << '\n';
    std::exit(1);
  }

  bool run_until(const std::function<bool()>& holds) {
    return clock_.run_until(holds, clock_.now() + patience);
  }

  bool asked(const std::string& verb, const std::string& subject, const std::string& body) {
    std::optional<Response> response;
    bench_->handle({verb, subject, body, tester, {}},
                   [&response](Response answer) { response = std::move(answer); });
    return run_until([&response] { return response.has_value(); }) && response->status < 300;
  }

  bool start() {
    auto battery = make_battery("cell:sound");
    if (!battery || !sim_->plug(bay, std::move(*battery))) return false;
    if (!run_until([this] { return bench_->place(bay)->activity() == Activity::ready; })) return false;
    const std::string drop_off =
        fmt::format(R"({{"battery":{{"serial":"one","chemistry":"flooded","cells":6}},"procedures":["{}"]}})",
                    procedure_);
    if (!asked("ticket.add", "", drop_off)) return false;
    const std::string ticket = shown(bench_->ledger().files().rbegin()->first);
    return asked("ticket.move", ticket, R"({"place":"bay-1"})") &&
           asked("place.acknowledge", bay, R"({"of":"cautions"})") && asked("place.start", bay, "");
  }

  const char* procedure_;
  VirtualClock clock_;
  std::unique_ptr<SimBench> sim_;
  std::unique_ptr<PacedLinks> links_;
  MemoryStore store_;
  std::unique_ptr<Plan> plan_;
  std::unique_ptr<Bench> bench_;
};

/// "median worst" over the seeds.
std::string times_of(const BenchmarkConfig& config, const LinkKind& kind, const char* procedure) {
  std::vector<Second> times;
  for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
    std::mt19937_64 random(seed);
    const Second after(static_cast<double>(random() % 1'000'000) * 1e-6);
    const auto time = DrawnBay(config, kind, procedure, seed).breach(after);
    if (!time) return "   NEVER OFF with seed " + std::to_string(seed);
    times.push_back(*time);
  }
  const Spread spread = spread_of(times);
  return fmt::format("{:9.1f} ms {:9.1f} ms", milliseconds(spread.median), milliseconds(spread.worst));
}

}  // namespace

void print_terminals(const BenchmarkConfig& config) {
  std::cout << fmt::format(
      "from the breach at the terminals to no current: age of the sample, wire, the instrument's own {:.0f} "
      "ms for\n"
      "  an answer (assumed), silences of our driver; virtual time, the breach at any moment, {} seeds "
      "each.\n"
      "  Energised, two samples a second become three: a third of the freshness limit.\n"
      "  USBTMC: as TCP, and off may wait for a read that blocks, at most off_within_s of the link.\n"
      "                                     10 samples/s             2 samples/s\n"
      "                                    median        worst      median        worst\n",
      milliseconds(kinds.front().answer_after), seeds);
  for (const LinkKind& kind : kinds) {
    std::cout << fmt::format("  {:<29}", kind.name) << times_of(config, kind, steady_draw)
              << times_of(config, kind, slow_draw) << std::endl;
  }
}

}  // namespace leadwright
