// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/terminals.h"

#include <gtest/gtest.h>

#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/replay_battery.h"

namespace leadwright {
namespace {

constexpr double exact_s = 1e-3;

Instant at(Second time) {
  return Instant() + time;
}

StandingBattery standing(const char* spec) {
  return {"one", make_battery(spec).value(), Instant()};
}

/// Falls from 12 V by 1 V in 100 s at 25 A: 10.5 V after exactly 150 s.
StandingBattery falling() {
  auto trace = parse_replay(
      "time_s,current_a,terminal_voltage_v,temperature_c\n0,25,12,25\n100,25,11,25\n200,25,10,25\n",
      "falling.csv");
  return {"falling", std::make_unique<ReplayBattery>(std::make_shared<const ReplayTrace>(trace.value())),
          Instant()};
}

void draw(Terminals& posts, Ampere amps, Volt cutoff) {
  posts.load.draw = amps;
  posts.load.cutoff.limit = cutoff;
  posts.load.on = true;
  posts.changed();
}

TEST(Terminals, cut_off_at_the_instant_of_the_crossing_though_nobody_asked_meanwhile) {
  StandingBattery battery = falling();
  Terminals posts;
  posts.clamp(&battery, Instant());
  draw(posts, Ampere(25.0), Volt(10.5));
  posts.settle(at(hours(3.0)));
  EXPECT_FALSE(posts.load.on);
  EXPECT_TRUE(posts.load.cutoff.tripped);
  ASSERT_TRUE(posts.load.cut_at);
  EXPECT_NEAR((*posts.load.cut_at - Instant()).si(), 150.0, exact_s);
  EXPECT_EQ(posts.load_amps(), Ampere(0.0));
  EXPECT_EQ(posts.volts(), Volt(12.0));
}

TEST(Terminals, keep_the_battery_that_others_know_when_they_cut_off) {
  StandingBattery battery = falling();
  const SimBattery* const known = battery.battery.get();
  Terminals posts;
  posts.clamp(&battery, Instant());
  draw(posts, Ampere(25.0), Volt(10.5));
  posts.settle(at(hours(3.0)));
  ASSERT_TRUE(posts.load.cut_at);
  EXPECT_EQ(battery.battery.get(), known);
}

TEST(Terminals, cut_off_at_the_same_instant_however_often_they_are_asked) {
  StandingBattery battery = falling();
  Terminals posts;
  posts.clamp(&battery, Instant());
  draw(posts, Ampere(25.0), Volt(10.5));
  for (double t = 0.0; t < 200.0; t += 0.37) posts.settle(at(Second(t)));
  ASSERT_TRUE(posts.load.cut_at);
  EXPECT_NEAR((*posts.load.cut_at - Instant()).si(), 150.0, exact_s);
}

TEST(Terminals, cut_off_of_a_cell_battery_does_not_depend_on_the_asking) {
  StandingBattery once = standing("cell:sound");
  StandingBattery often = standing("cell:sound");
  Terminals rarely_asked;
  Terminals often_asked;
  rarely_asked.clamp(&once, Instant());
  often_asked.clamp(&often, Instant());
  draw(rarely_asked, Ampere(25.0), Volt(10.5));
  draw(often_asked, Ampere(25.0), Volt(10.5));
  rarely_asked.settle(at(hours(4.0)));
  for (double t = 0.0; t < 14400.0; t += 0.5) often_asked.settle(at(Second(t)));
  ASSERT_TRUE(rarely_asked.load.cut_at && often_asked.load.cut_at);
  const double apart = (*rarely_asked.load.cut_at - *often_asked.load.cut_at).si();
  EXPECT_LT(std::abs(apart), 1.0);  // of some 6500 s
}

TEST(Terminals, cut_off_at_once_where_the_volts_are_below_already) {
  StandingBattery battery = standing("cell:open");
  Terminals posts;
  posts.clamp(&battery, Instant());
  draw(posts, Ampere(10.0), Volt(10.5));
  EXPECT_FALSE(posts.load.on);
  EXPECT_TRUE(posts.load.cutoff.tripped);
}

TEST(Terminals, hold_a_charger_at_its_voltage_and_below_its_limit) {
  StandingBattery battery = standing("cell:sound,charged=0.3");
  Terminals posts;
  posts.clamp(&battery, Instant());
  posts.charger.volts = Volt(14.4);
  posts.charger.limit = Ampere(12.0);
  posts.charger.on = true;
  posts.changed();
  EXPECT_EQ(posts.charger_amps(), Ampere(12.0));
  EXPECT_LT(posts.volts(), Volt(14.4));
  posts.settle(at(hours(5.0)));
  EXPECT_EQ(posts.volts(), Volt(14.4));
  EXPECT_LT(posts.charger_amps(), Ampere(4.0));
  EXPECT_GT(posts.charger_amps(), Ampere(0.1));
}

TEST(Terminals, let_no_charge_into_a_replayed_battery_that_was_drawn_from) {
  StandingBattery battery = falling();
  battery.battery->advance(Second(1e-6), Ampere(25.0));
  Terminals posts;
  posts.clamp(&battery, Instant());
  posts.charger.volts = Volt(14.4);
  posts.charger.limit = Ampere(12.0);
  posts.charger.on = true;
  posts.changed();
  posts.settle(at(hours(1.0)));
  EXPECT_EQ(posts.charger_amps(), Ampere(0.0));
  EXPECT_EQ(posts.volts(), Volt(12.0));
}

TEST(Terminals, can_not_be_drawn_below_nothing) {
  StandingBattery battery = standing("cell:open");
  Terminals posts;
  posts.clamp(&battery, Instant());
  posts.load.draw = Ampere(25.0);
  posts.load.on = true;
  posts.changed();
  EXPECT_GT(posts.volts(), Volt(0.0));
  EXPECT_LT(posts.load_amps(), Ampere(5.0));
}

TEST(Terminals, trip_the_charger_above_its_protection) {
  StandingBattery battery = standing("cell:sound");
  Terminals posts;
  posts.clamp(&battery, Instant());
  posts.charger.volts = Volt(15.5);
  posts.charger.limit = Ampere(10.0);
  posts.charger.over_volts.limit = Volt(15.0);
  posts.charger.on = true;
  posts.changed();
  posts.settle(at(hours(3.0)));
  EXPECT_TRUE(posts.charger.over_volts.tripped);
  EXPECT_FALSE(posts.charger.on);
  EXPECT_EQ(posts.charger_amps(), Ampere(0.0));
}

TEST(Terminals, show_nothing_without_a_battery) {
  Terminals posts;
  posts.load.draw = Ampere(5.0);
  posts.load.on = true;
  posts.settle(at(hours(1.0)));
  posts.changed();
  EXPECT_EQ(posts.volts(), Volt(0.0));
  EXPECT_EQ(posts.load_amps(), Ampere(0.0));
}

}  // namespace
}  // namespace leadwright
