// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/run_watches.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

class RunWatchesTest : public testing::Test {
 protected:
  void SetUp() override {
    watches.begin_run(ampere_hours(60.0), 6, Volt(12.6), Celsius(25.0));
    watches.begin_charge(Ampere(10.0));
    watches.begin_draw();
  }
  /// The first alarm of so long at these readings, one a second.
  std::optional<WatchAlarm> watch(Energy energy, Second time, std::optional<Volt> volts,
                                  std::optional<Ampere> amps, std::optional<Celsius> temperature) {
    for (const Second until = at + time; at < until; at += Second(1.0)) {
      if (auto alarm = watches.check({at, 0, volts, amps, temperature}, energy)) return alarm;
    }
    return std::nullopt;
  }
  RunWatches watches;
  Second at{0.0};
};

constexpr Celsius room{25.0};

TEST_F(RunWatchesTest, nothing_is_watched_where_nothing_is_energised) {
  EXPECT_FALSE(watch(Energy::none, Second(5.0), Volt(12.6), Ampere(0.0), room));
  EXPECT_FALSE(watch(Energy::none, Second(5.0), Volt(9.0), Ampere(0.0), Celsius(60.0)));
}

TEST_F(RunWatchesTest, a_case_that_warms_too_fast_trips_whatever_else_is_missing) {
  for (const Energy energy : {Energy::draw, Energy::charge}) {
    SetUp();
    EXPECT_FALSE(watch(energy, Second(5.0), std::nullopt, std::nullopt, room));
    const auto alarm = watch(energy, Second(5.0), std::nullopt, std::nullopt, Celsius(36.0));
    ASSERT_TRUE(alarm);
    EXPECT_TRUE(alarm->trips);
    at += minutes(20.0);
  }
}

TEST_F(RunWatchesTest, a_warm_case_ends_a_charge_and_no_draw) {
  const auto warmed_slowly = [this](Energy energy) {
    std::optional<WatchAlarm> alarm;
    for (double degc = 25.0; degc < 41.0 && !alarm; degc += 0.5)
      alarm = watch(energy, minutes(1.0), Volt(12.5), Ampere(9.8), Celsius(degc));
    return alarm;
  };
  EXPECT_FALSE(warmed_slowly(Energy::draw));
  at += minutes(20.0);
  const auto alarm = warmed_slowly(Energy::charge);
  ASSERT_TRUE(alarm);
  EXPECT_TRUE(alarm->trips);
  EXPECT_NE(alarm->sentence.text().find("where a charge ends"), std::string::npos) << alarm->sentence.text();
}

TEST_F(RunWatchesTest, a_voltage_that_falls_while_a_constant_current_goes_in_trips) {
  EXPECT_FALSE(watch(Energy::charge, minutes(31.0), Volt(14.0), Ampere(-10.0), std::nullopt));
  const auto alarm = watch(Energy::charge, minutes(2.0), Volt(13.6), Ampere(-10.0), std::nullopt);
  ASSERT_TRUE(alarm);
  EXPECT_TRUE(alarm->trips);
}

TEST_F(RunWatchesTest, a_charge_current_that_is_gone_at_once_ends_the_run_and_trips_nothing) {
  EXPECT_FALSE(watch(Energy::charge, Second(10.0), Volt(13.0), Ampere(-8.0), room));
  const auto alarm = watch(Energy::charge, Second(10.0), Volt(12.6), Ampere(0.0), room);
  ASSERT_TRUE(alarm);
  EXPECT_FALSE(alarm->trips);
}

TEST_F(RunWatchesTest, a_current_that_another_charge_had_is_forgotten) {
  EXPECT_FALSE(watch(Energy::charge, Second(10.0), Volt(13.0), Ampere(-8.0), room));
  watches.begin_charge(Ampere(10.0));
  EXPECT_FALSE(watch(Energy::charge, Second(10.0), Volt(12.6), Ampere(0.0), room));
}

TEST_F(RunWatchesTest, a_step_of_the_voltage_in_a_draw_ends_the_run_and_trips_nothing) {
  EXPECT_FALSE(watch(Energy::draw, Second(20.0), Volt(12.2), Ampere(25.0), room));
  const auto alarm = watch(Energy::draw, Second(20.0), Volt(11.6), Ampere(25.0), room);
  ASSERT_TRUE(alarm);
  EXPECT_FALSE(alarm->trips);
}

TEST_F(RunWatchesTest, a_draw_after_another_is_not_compared_with_it) {
  EXPECT_FALSE(watch(Energy::draw, Second(20.0), Volt(12.2), Ampere(25.0), room));
  watches.begin_draw();
  EXPECT_FALSE(watch(Energy::draw, Second(20.0), Volt(11.6), Ampere(25.0), room));
}

TEST_F(RunWatchesTest, two_meters_that_disagree_end_the_run_and_trip_nothing) {
  const Sample working{at, 0, Volt(12.0), Ampere(25.0), room};
  EXPECT_FALSE(watches.check_senses(working, Volt(12.5)));
  const auto alarm = watches.check_senses(working, Volt(12.5));
  ASSERT_TRUE(alarm);
  EXPECT_FALSE(alarm->trips);
}

TEST_F(RunWatchesTest, a_meter_that_gave_nothing_is_compared_with_none) {
  for (int i = 0; i < 5; ++i) {
    EXPECT_FALSE(watches.check_senses({at, 0, std::nullopt, Ampere(25.0), room}, Volt(12.5)));
    EXPECT_FALSE(watches.check_senses({at, 0, Volt(12.0), std::nullopt, room}, Volt(12.5)));
  }
}

TEST_F(RunWatchesTest, a_run_that_knows_no_temperature_before_it_has_no_limit_of_warmth) {
  watches = RunWatches();
  watches.begin_run(ampere_hours(60.0), 6, std::nullopt, std::nullopt);
  watches.begin_charge(Ampere(10.0));
  EXPECT_FALSE(watch(Energy::charge, minutes(1.0), Volt(13.0), Ampere(-8.0), Celsius(45.0)));
}

}  // namespace
}  // namespace leadwright
