// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/benchsim.h"

#include <gtest/gtest.h>

#include "daemon/clock/virtual_clock.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/bench_commands.h"

namespace leadwright {
namespace {

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

TEST(BenchCommands, tell_the_truth_and_why_nothing_can_be_charged) {
  World world;
  const std::string file =
      std::string(LEADWRIGHT_SOURCE_DIR) + "/tests/reference/porous-electrode/A/A_44ah_25a.csv";
  world("plug bay-1 replay:" + file);
  // 90.589 min: the trace's sidecar.
  EXPECT_EQ(world("truth bay-1").substr(0, 14), "ok: 90.589 min");
  EXPECT_NE(world("truth bay-1").find("takes no charge"), std::string::npos);
}

TEST(BenchCommands, switch_faults_and_power) {
  World world;
  EXPECT_EQ(world("fault bay-1.load ignores_off on"), "ok");
  EXPECT_TRUE(world.bench.instrument("bay-1.load")->has_fault(SimInstrument::Fault::ignores_off));
  EXPECT_EQ(world("fault bay-1.load ignores_off off"), "ok");
  EXPECT_FALSE(world.bench.instrument("bay-1.load")->has_fault(SimInstrument::Fault::ignores_off));
  EXPECT_EQ(world("power bay-1.load"), "ok");
  EXPECT_EQ(world("fault bay-1.load sings on").substr(0, 5), "error");
  EXPECT_EQ(world("fault bay-9.load ignores_off on").substr(0, 5), "error");
}

TEST(BenchCommands, answer_one_line_to_anything) {
  World world;
  for (const char* line : {"", " ", "plug", "plug bay-1", "move", "move a", "move a b", "frobnicate x",
                           "truth x", "fault", "power", "unplug x", "add x nonsense"}) {
    const std::string answer = world(line);
    EXPECT_EQ(answer.substr(0, 5), "error") << line;
    EXPECT_EQ(answer.find('\n'), std::string::npos) << line;
  }
}

}  // namespace
}  // namespace leadwright
