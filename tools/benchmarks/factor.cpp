// SPDX-License-Identifier: Apache-2.0
// The worlds of rehearsals: the whole daemon, real drivers and codecs over memory links, on virtual time.
#include <fmt/format.h>
#include <sys/resource.h>

#include <iostream>

#include "daemon/store/trace_codec.h"
#include "tools/benchmarks/measure.h"
#include "tools/benchmarks/sections.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/rehearse/world.h"

namespace leadwright {

namespace {

std::unique_ptr<World> world_of(int bays, const BenchmarkConfig& config) {
  WorldOptions options;
  options.bays = bays;
  options.config_folder = config.folder();
  auto world = World::make(std::move(options));
  if (!world) {
    std::cerr << world.error().front().line() << '\n';
    std::exit(1);
  }
  for (int bay = 1; bay <= bays; ++bay) {
    const std::string place = fmt::format("bay-{}", bay);
    auto battery = make_battery("cell:sound");
    if (!battery || !(*world)->sim().plug(place, std::move(*battery))) std::exit(1);
    const std::string body =
        fmt::format(R"({{"battery":{{"serial":"bench {}","chemistry":"flooded","cells":6}},)"
                    R"("procedures":["{}"]}})",
                    bay, steady_draw);
    (*world)->ask("ticket.add", "", body);
    const std::string ticket = shown((*world)->bench().ledger().files().rbegin()->first);
    (*world)->ask("ticket.move", ticket, fmt::format(R"({{"place":"{}"}})", place));
    (*world)->start(place);
  }
  return std::move(*world);
}

struct WorldCost {
  std::size_t samples = 0;
  std::uint64_t exchanges = 0;
  Second bench_time{0.0};
  Second cpu{0.0};
  std::vector<Sample> trace;
};

WorldCost run_world(int bays, const BenchmarkConfig& config) {
  WorldCost cost;
  const auto world = world_of(bays, config);
  int ended = 0;
  world->bench().on_run_ended = [&](const Place&, const RunResult& result) {
    ++ended;
    cost.samples += result.trace.samples.size();
    cost.trace = result.trace.samples;
  };
  const Instant began = world->clock().now();
  const std::uint64_t exchanges = world->exchanges();
  const Second cpu = process_cpu();
  world->clock().run_until([&] { return ended == bays; }, began + hours(2.0));
  cost.cpu = process_cpu() - cpu;
  cost.bench_time = world->clock().now() - began;
  cost.exchanges = world->exchanges() - exchanges;
  return cost;
}

Task<void> sample_many(Instrument* instrument, std::size_t count) {
  for (std::size_t index = 0; index < count; ++index) {
    const Result<Reading> reading = co_await instrument->sample();
    if (!reading) std::exit(1);
  }
}

/// CPU time of one combined exchange alone: driver, codec, memory link and simulated load.
Second exchange_cost(const BenchmarkConfig& config, std::size_t count) {
  const auto world = world_of(1, config);
  Instrument* load = world->bench().place("bay-1")->instruments().load();
  world->bench().stop_all(in_own_words("benchmark"), "bench");
  world->clock().run_for(Second(5.0));
  const Second began = process_cpu();
  const Job job(world->clock().loop(), sample_many(load, count));
  world->clock().run_until([&job] { return job.done(); });
  return process_cpu() - began;
}

/// CPU time of encoding a trace into the blocks that the store keeps.
Second encoding_cost(const std::vector<Sample>& trace) {
  constexpr std::size_t block = 600;
  const Second began = process_cpu();
  for (std::size_t first = 0; first + block <= trace.size(); first += block) {
    const auto from = trace.begin() + static_cast<std::ptrdiff_t>(first);
    const std::vector<Sample> samples(from, from + block);
    if (!encode_samples(samples)) std::exit(1);
  }
  return process_cpu() - began;
}

}  // namespace

void print_factor(const BenchmarkConfig& config) {
  const WorldCost cost = run_world(1, config);
  constexpr std::size_t exchanges = 200'000;
  std::cout << "one bay, 10 samples/s, one hour of bench time, whole daemon on virtual time\n";
  std::cout << fmt::format("  factor                   {:9.0f} x real time\n", cost.bench_time / cost.cpu);
  std::cout << fmt::format("  samples                  {:9} ({} exchanges)\n", cost.samples, cost.exchanges);
  std::cout << fmt::format("  CPU per sample           {:9.2f} us\n", microseconds(cost.cpu, cost.samples));
  std::cout << fmt::format(
      "    of it one exchange     {:9.2f} us (driver, codec, memory link, simulated load)\n",
      microseconds(exchange_cost(config, exchanges), exchanges));
  std::cout << fmt::format(
      "  not of it: encoding      {:9.2f} us (columns and compression, on the store's thread)\n",
      microseconds(encoding_cost(cost.trace), cost.trace.size()));
}

void print_places(const BenchmarkConfig& config) {
  std::cout << "cost of a place, all drawing at 10 samples/s for one hour of bench time\n";
  std::cout << "  bays   CPU per sample   share of one core at real time, each\n";
  for (const int bays : {1, 16, 64}) {
    const WorldCost cost = run_world(bays, config);
    std::cout << fmt::format("  {:4}   {:11.2f} us   {:.5f} %\n", bays, microseconds(cost.cpu, cost.samples),
                             100.0 * (cost.cpu / cost.bench_time) / bays);
  }
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  std::cout << fmt::format("  memory of the whole program at the most: {} MiB\n", usage.ru_maxrss / 1024);
}

}  // namespace leadwright
