// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/benchsim.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>

#include "daemon/clock/virtual_clock.h"
#include "protocol/modbus_frames.h"
#include "tests/benchsim/hex.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/bench_commands.h"

namespace leadwright {
namespace {

using testing::ElementsAre;

struct World {
  VirtualClock clock;
  SimBench bench{{2, 1, true, 1, Second(0.0)}, clock};
  std::string operator()(std::string_view command) { return bench_command(bench, command); }
  std::string measured(std::string_view name) {
    std::string answers;
    bench.instrument(name)->exchange("MEAS:VOLT?\n", answers);
    return answers;
  }
};

TEST(SimBench, names_its_instruments_after_their_places) {
  World world;
  const std::vector<std::string> expected{"bay-1.load",       "bay-1.charger",       "bay-1.thermometer",
                                          "bay-2.load",       "bay-2.charger",       "bay-2.thermometer",
                                          "charge-1.charger", "charge-1.thermometer"};
  EXPECT_EQ(world.bench.instrument_names(), expected);
  EXPECT_EQ(world.bench.instrument("bay-3.load"), nullptr);
}

TEST(SimBench, measures_zero_at_an_empty_place_and_the_battery_where_it_stands) {
  World world;
  EXPECT_EQ(world.measured("bay-1.load"), "0.000\n");
  EXPECT_EQ(world("plug bay-1 cell:sound,charged=1"), "ok: battery-1");
  EXPECT_EQ(world.measured("bay-1.load"), "12.660\n");
  EXPECT_EQ(world.measured("bay-1.charger"), "12.660\n");
  EXPECT_EQ(world.measured("bay-2.load"), "0.000\n");
}

TEST(SimBench, carries_a_battery_with_its_state) {
  World world;
  world("plug bay-1 cell:sound,charged=1");
  std::string answers;
  world.bench.instrument("bay-1.load")->exchange("CURR 25;:INP ON\n", answers);
  world.clock.run_for(minutes(30.0));
  EXPECT_EQ(world("move bay-1 charge-1"), "ok");
  EXPECT_EQ(world.measured("bay-1.load"), "0.000\n");
  EXPECT_LT(world.measured("charge-1.charger"), "12.5");
  EXPECT_NE(world("list").find("battery-1 at charge-1"), std::string::npos);
}

TEST(SimBench, lets_a_battery_on_the_shelf_live_on) {
  World world;
  world("add ours cell:sound,charged=1");
  world.clock.run_for(hours(24.0 * 60.0));
  const StandingBattery* standing = world.bench.battery("ours");
  ASSERT_NE(standing, nullptr);
  EXPECT_LT(standing->battery->rested(), Volt(12.64));
}

TEST(SimBench, refuses_a_taken_place_and_a_taken_name) {
  World world;
  world("plug bay-1 cell:sound");
  EXPECT_EQ(world("plug bay-1 cell:sound"), "error: bay-1: the place is taken: unplug it first");
  world("plug bay-2 cell:sound");
  EXPECT_EQ(world("move bay-2 bay-1").substr(0, 5), "error");
  EXPECT_EQ(world("add battery-1 cell:sound").substr(0, 5), "error");
  EXPECT_EQ(world("add bay-2 cell:sound").substr(0, 5), "error");
  EXPECT_EQ(world("move battery-1 bay-1"), "ok");
}

TEST(SimBench, takes_a_battery_back_to_the_shelf) {
  World world;
  world("plug bay-1 cell:sound");
  EXPECT_EQ(world("unplug bay-1"), "ok");
  EXPECT_NE(world("list").find("battery-1 at shelf"), std::string::npos);
  EXPECT_EQ(world("unplug bay-1").substr(0, 5), "error");
}

std::vector<std::string> line_names(const SimBench& bench) {
  std::vector<std::string> names;
  for (const auto& line : bench.lines()) names.push_back(line->name());
  return names;
}

TEST(SimBench, lets_each_role_speak_what_it_is_told) {
  VirtualClock clock;
  SimBenchOptions options{1, 1, true, 1, Second(0.0)};
  options.chargers = SimSpeech::modbus;
  options.thermometers = SimSpeech::none;
  options.relay_boxes = 1;
  const SimBench bench(options, clock);
  EXPECT_THAT(bench.instrument_names(),
              ElementsAre("bay-1.load", "bay-1.charger", "charge-1.charger", "box-1"));
  EXPECT_THAT(line_names(bench),
              ElementsAre("bay-1.load", "bay-1.charger", "bay-1.charger.tcp", "charge-1.charger",
                          "charge-1.charger.tcp", "box-1", "box-1.tcp"));
  EXPECT_EQ(bench.address("charge-1.charger")->line, "charge-1.charger");
  EXPECT_EQ(bench.address("charge-1.charger")->unit, 1);
  EXPECT_FALSE(bench.address("bay-1.thermometer"));
}

TEST(SimBench, puts_all_thermometers_on_one_line) {
  VirtualClock clock;
  SimBenchOptions options{1, 2, true, 1, Second(0.0)};
  options.thermometers = SimSpeech::modbus;
  options.shared_line = SimBenchOptions::SharedLine::thermometers;
  const SimBench bench(options, clock);
  EXPECT_EQ(bench.address("bay-1.thermometer")->unit, 1);
  EXPECT_EQ(bench.address("charge-2.thermometer")->line, "thermometers");
  EXPECT_EQ(bench.address("charge-2.thermometer")->unit, 3);
}

TEST(SimBench, puts_every_modbus_unit_on_one_line) {
  VirtualClock clock;
  SimBenchOptions options{1, 1, true, 1, Second(0.0)};
  options.chargers = options.thermometers = SimSpeech::modbus;
  options.relay_boxes = 1;
  options.shared_line = SimBenchOptions::SharedLine::all;
  const SimBench bench(options, clock);
  EXPECT_THAT(line_names(bench), ElementsAre("bay-1.load", "bus", "bus.tcp"));
  EXPECT_EQ(bench.address("box-1")->line, "bus");
  EXPECT_EQ(bench.address("box-1")->unit, 5);
}

/// The bytes that come back over memory links of the bench.
struct OverMemory {
  explicit OverMemory(const SimBenchOptions& options) : bench(options, clock), links(clock) {
    bench.add_to(links);
  }
  std::string ask(const std::string& name, const std::string& message) {
    auto made = links.make({LinkAddress::Kind::memory, name}, {});
    if (!made) return made.error().line();
    std::string answer;
    const Job job(clock.loop(), exchange(**made, message, clock.now() + Second(0.1), answer));
    clock.run_for(Second(0.1));
    return answer;
  }
  static Task<void> exchange(Link& link, std::string_view message, Instant until, std::string& answer) {
    co_await link.open(until);
    co_await link.write(message, until);
    std::array<char, 256> piece;
    while (true) {
      const Result<std::size_t> count = co_await link.read(piece, until);
      if (!count) co_return;
      answer.append(piece.data(), *count);
    }
  }
  VirtualClock clock;
  SimBench bench;
  MemoryLinkFactory links;
};

TEST(SimBench, serves_scpi_rtu_and_modbus_tcp_over_memory_links) {
  SimBenchOptions options{1, 1, true, 1, Second(0.0)};
  options.chargers = SimSpeech::modbus;
  options.shared_line = SimBenchOptions::SharedLine::all;
  OverMemory world(options);
  EXPECT_EQ(world.ask("bay-1.load", "INP?\n"), "0\n");
  std::string request;
  append_rtu(request, 2, from_hex("04 0001 0001"));
  std::string answer;
  append_rtu(answer, 2, from_hex("04 02 0001"));
  EXPECT_EQ(to_hex(world.ask("bus", request)), to_hex(answer));
  EXPECT_EQ(to_hex(world.ask("bus.tcp", from_hex("0007 0000 0006 02 04 0001 0001"))),
            "00 07 00 00 00 05 02 04 02 00 01");
}

TEST(SimBench, strikes_an_answer_where_its_cable_is_told_to) {
  OverMemory world({1, 0, true, 1, Second(0.0)});
  world.bench.line("bay-1.load")->cable()->strike(CableFault::doubled());
  EXPECT_EQ(world.ask("bay-1.load", "INP?\n"), "0\n0\n");
  EXPECT_EQ(world.ask("bay-1.load", "INP?\n"), "0\n");
  EXPECT_EQ(world.links.cable("bay-1.load"), world.bench.line("bay-1.load")->cable().get());
}

TEST(SimBench, swaps_the_plugs_of_two_lines) {
  OverMemory world({1, 0, true, 1, Second(0.0)});
  ASSERT_TRUE(world.bench.swap_lines("bay-1.load", "bay-1.charger"));
  EXPECT_EQ(world.ask("bay-1.load", "*IDN?\n"), "Leadwright,simulated charger,bay-1.charger,sim-1\n");
  EXPECT_EQ(world.ask("bay-1.charger", "*IDN?\n"), "Leadwright,simulated load,bay-1.load,sim-1\n");
  EXPECT_FALSE(world.bench.swap_lines("bay-1.load", "bay-9.load"));
}

}  // namespace
}  // namespace leadwright
