// SPDX-License-Identifier: Apache-2.0
// Replayed batteries against the outside model's own minutes. Source of every minute: the sidecar beside the
// trace in tests/reference/porous-electrode, whose README.md says where it comes from.
#include "tools/benchsim/replay_battery.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace leadwright {
namespace {

namespace fs = std::filesystem;

constexpr double within = 0.001;

std::vector<fs::path> traces() {
  std::vector<fs::path> found;
  for (const char* group : {"A", "B", "E"}) {
    for (const auto& entry : fs::directory_iterator(fs::path(LEADWRIGHT_SOURCE_DIR) /
                                                    "tests/reference/porous-electrode" / group)) {
      if (entry.path().extension() == ".csv") found.push_back(entry.path());
    }
  }
  std::sort(found.begin(), found.end());
  return found;
}

double sidecar_minutes(fs::path trace) {
  std::ifstream file(trace.replace_extension(".json"));
  std::ostringstream text;
  text << file.rdbuf();
  const std::string all = text.str();
  const std::string key = "\"minutes_to_cutoff\": ";
  const std::size_t at = all.find(key) + key.size();
  double minutes_to_cutoff = 0.0;
  std::from_chars(all.data() + at, all.data() + all.size(), minutes_to_cutoff);
  return minutes_to_cutoff;
}

ReplayBattery of_text(const std::string& rows) {
  auto trace = parse_replay("time_s,current_a,terminal_voltage_v,temperature_c\n" + rows, "test.csv");
  return ReplayBattery(std::make_shared<const ReplayTrace>(trace.value()));
}

TEST(ReplayBattery, reproduces_the_minutes_of_every_reference_trace) {
  const auto files = traces();
  ASSERT_EQ(files.size(), 25U);
  for (const fs::path& file : files) {
    const ReplayBattery battery(std::make_shared<const ReplayTrace>(load_replay(file.string()).value()));
    const double expected = sidecar_minutes(file);
    EXPECT_NEAR(as_minutes(battery.truth_at_25a()), expected, expected * within) << file;
    EXPECT_EQ(battery.cells(), 6) << file;
  }
}

TEST(ReplayBattery, reproduces_them_when_it_is_really_drawn_from) {
  for (const fs::path& file : traces()) {
    ReplayBattery battery(std::make_shared<const ReplayTrace>(load_replay(file.string()).value()));
    Second time;
    while (battery.terminal(Ampere(25.0)) > Volt(10.5)) {
      battery.advance(Second(0.5), Ampere(25.0));
      time += Second(0.5);
    }
    const double expected = sidecar_minutes(file);
    EXPECT_NEAR(as_minutes(time), expected, expected * within + 0.5 / 60.0) << file;
  }
}

TEST(ReplayBattery, follows_delivered_charge_whatever_the_current) {
  ReplayBattery battery = of_text("0,10,12.0,25\n100,10,11.0,25\n");
  battery.advance(Second(10.0), Ampere(50.0));
  EXPECT_NEAR(battery.terminal(Ampere(1.0)).si(), 11.5, 1e-9);
}

TEST(ReplayBattery, takes_the_last_step_only_and_starts_it_at_the_switch) {
  // The row at 20 s still carries the 100 A that end there: the last step delivers from 20 s on.
  ReplayBattery battery =
      of_text("0,0,12.8,25\n10,0,12.8,25\n20,100,12.0,25\n30,25,12.4,25\n40,25,12.2,25\n50,0,12.5,25\n");
  battery.advance(Second(15.0), Ampere(25.0));
  EXPECT_NEAR(battery.terminal(Ampere(25.0)).si(), 12.3, 1e-9);
}

TEST(ReplayBattery, rests_at_the_highest_voltage_of_the_file) {
  ReplayBattery battery = of_text("0,0,12.7,25\n10,0,12.75,25\n20,25,12.4,25\n30,25,12.3,25\n");
  EXPECT_EQ(battery.terminal(Ampere(0.0)), Volt(12.75));
  battery.advance(Second(10.0), Ampere(25.0));
  EXPECT_EQ(battery.terminal(Ampere(0.0)), Volt(12.75));
}

TEST(ReplayBattery, falls_a_tenth_of_a_volt_a_second_beyond_the_last_row) {
  ReplayBattery battery = of_text("0,25,12.0,25\n10,25,11.0,25\n");
  battery.advance(Second(13.0), Ampere(25.0));
  EXPECT_NEAR(battery.terminal(Ampere(25.0)).si(), 11.0 - 0.3, 1e-9);
  battery.advance(Second(100.0), Ampere(0.0));
  EXPECT_NEAR(battery.terminal(Ampere(25.0)).si(), 11.0 - 0.3, 1e-9);
}

TEST(ReplayBattery, begins_full_takes_little_from_a_charger_and_keeps_none_of_it) {
  ReplayBattery battery = of_text("0,0,12.8,25\n10,25,12.0,25\n20,25,11.0,25\n");
  EXPECT_EQ(battery.charge_refusal(), "");
  EXPECT_GT(battery.terminal(Ampere(-0.5)), Volt(14.4)) << "it stands at the charger's voltage at once";
  EXPECT_LT(battery.terminal(Ampere(-0.2)), Volt(14.4)) << "more than a battery that takes no charge";
  battery.advance(hours(2.0), Ampere(-0.3));
  EXPECT_EQ(battery.terminal(Ampere(0.0)), Volt(12.8));
  EXPECT_EQ(battery.terminal(Ampere(25.0)), Volt(12.0));
}

TEST(ReplayBattery, refuses_charge_with_a_reason_once_something_was_drawn) {
  ReplayBattery battery = of_text("0,25,12.0,25\n10,25,11.0,25\n");
  battery.advance(Second(1.0), Ampere(25.0));
  EXPECT_NE(battery.charge_refusal().find("discharge only"), std::string::npos);
}

TEST(ReplayBattery, is_a_block_of_three_cells_when_the_volts_say_so) {
  EXPECT_EQ(of_text("0,25,6.2,25\n10,25,6.0,25\n").cells(), 3);
}

TEST(ReplayBattery, reads_columns_in_any_order_and_takes_the_temperature) {
  const auto trace =
      parse_replay("temperature_c,terminal_voltage_v,time_s,current_a\r\n21.7,12.1,0,25\r\n", "x.csv");
  ASSERT_TRUE(trace);
  EXPECT_EQ(trace->temperature, Celsius(21.7));
  EXPECT_EQ(trace->volts.front(), Volt(12.1));
}

TEST(ReplayBattery, names_file_and_line_of_a_mistake) {
  const std::string heading = "time_s,current_a,terminal_voltage_v,temperature_c\n";
  EXPECT_EQ(parse_replay(heading + "0,25,12,25\n5,25,abc,25\n", "a.csv").error().where, "a.csv:3");
  EXPECT_EQ(parse_replay(heading + "0,25,12\n", "a.csv").error().where, "a.csv:2");
  EXPECT_EQ(parse_replay(heading + "5,25,12,25\n0,25,12,25\n", "a.csv").error().where, "a.csv:3");
  EXPECT_EQ(parse_replay("time_s,amps\n", "a.csv").error().where, "a.csv:1");
  EXPECT_EQ(parse_replay(heading + "0,0,12,25\n", "a.csv").error().what, "no discharge in the trace");
  EXPECT_FALSE(parse_replay("", "a.csv"));
  EXPECT_EQ(load_replay("/nonexistent.csv").error().code, Errc::io);
}

}  // namespace
}  // namespace leadwright
