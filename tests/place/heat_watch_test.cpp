// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/heat_watch.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace leadwright {
namespace {

/// Kelvin a minute, from 20 degC, for an hour. True if the watch barks.
bool barks_at(double kelvin_per_minute) {
  RiseWatch watch;
  for (int s = 0; s < 3600; s += 10) {
    if (watch.check(Second(s), Celsius(20.0 + kelvin_per_minute * s / 60.0))) return true;
  }
  return false;
}

TEST(RiseWatch, allows_ten_kelvin_in_ten_minutes_and_no_more) {
  EXPECT_FALSE(barks_at(0.99));
  EXPECT_TRUE(barks_at(1.02));
}

TEST(RiseWatch, one_flipped_digit_is_no_rise) {
  RiseWatch watch;
  EXPECT_FALSE(watch.check(Second(0.0), Celsius(20.0)));
  EXPECT_FALSE(watch.check(Second(1.0), Celsius(40.0)));
  EXPECT_FALSE(watch.check(Second(2.0), Celsius(20.1)));
}

TEST(WarmthWatch, counts_from_the_case_before_energy_or_from_25_degC) {
  WarmthWatch warm;
  warm.begin(Celsius(30.0));
  for (int i = 0; i < 3; ++i) EXPECT_FALSE(warm.check(Celsius(44.9)));
  EXPECT_FALSE(warm.check(Celsius(45.1)));
  EXPECT_TRUE(warm.check(Celsius(45.1)));
  WarmthWatch cold;
  cold.begin(Celsius(5.0));
  for (int i = 0; i < 3; ++i) EXPECT_FALSE(cold.check(Celsius(39.9)));
  EXPECT_FALSE(cold.check(Celsius(40.1)));
  EXPECT_TRUE(cold.check(Celsius(40.1)));
}

/// The last word on a taper that turns: from 12 A to `least`, then up by `factor` while it warms by `warmer`.
bool runs_away(double least, double factor, double warmer) {
  RunawayWatch watch;
  watch.begin(Ampere(12.0));
  Second at{0.0};
  for (int i = 0; i < 200; ++i, at += Second(10.0)) {
    if (watch.check(at, Ampere(12.0 + (least - 12.0) * i / 200.0), Celsius(25.0))) return true;
  }
  for (int i = 0; i <= 60; ++i, at += Second(10.0)) {
    const double share = std::min(1.0, i / 40.0);
    const Ampere amps(least * (1.0 + (factor - 1.0) * share));
    if (watch.check(at, amps, Celsius(25.0 + warmer * share))) return true;
  }
  return false;
}

TEST(RunawayWatch, needs_the_current_and_the_warmth_to_rise) {
  EXPECT_TRUE(runs_away(4.0, 1.15, 2.0));
  EXPECT_FALSE(runs_away(4.0, 1.15, 0.2)) << "not warmer: somebody changed something else";
  EXPECT_FALSE(runs_away(4.0, 1.08, 2.0));
  EXPECT_FALSE(runs_away(0.5, 1.3, 2.0)) << "0.15 A are a charger's own error";
}

/// True if the watch barks within `length` of a charge at up to 12 A, with a reading every 10 s and a case
/// that warms by 0.12 K a minute, as a battery's does that takes 12 A.
template <class AmpsAt>
bool barks_from_the_start(AmpsAt amps_at, Second length = minutes(60.0)) {
  RunawayWatch watch;
  watch.begin(Ampere(12.0));
  for (Second at{0.0}; at < length; at += Second(10.0)) {
    if (watch.check(at, amps_at(at), Celsius(25.0 + 0.12 * as_minutes(at)))) return true;
  }
  return false;
}

TEST(RunawayWatch, a_charger_that_starts_softly_is_no_rise) {
  const auto up_to = [](double amps) {
    return [amps](Second at) { return Ampere(std::min(amps, amps * at.si() / 30.0)); };
  };
  EXPECT_FALSE(barks_from_the_start(up_to(12.0))) << "at its limit";
  EXPECT_FALSE(barks_from_the_start(up_to(5.0))) << "at its voltage";
}

TEST(RunawayWatch, a_battery_that_takes_more_with_the_first_minutes_is_no_rise) {
  EXPECT_FALSE(barks_from_the_start(
      [](Second at) { return Ampere(std::min(5.0, 2.0 + 3.0 * as_minutes(at) / 8.0)); }));
}

TEST(RunawayWatch, one_flipped_digit_is_no_taper) {
  EXPECT_FALSE(barks_from_the_start([](Second at) { return Ampere(at == minutes(20.0) ? 1.2 : 12.0); }));
  EXPECT_FALSE(barks_from_the_start([](Second at) { return Ampere(at == minutes(20.0) ? 0.5 : 5.0); }));
}

TEST(RunawayWatch, a_current_that_never_fell_and_rises_on_and_on_is_one) {
  EXPECT_TRUE(barks_from_the_start([](Second at) { return Ampere(2.0 + 0.06 * as_minutes(at)); }));
  EXPECT_TRUE(barks_from_the_start([](Second at) {
    return Ampere(std::min(12.0, 5.0 + (at > minutes(5.0) ? 0.2 * (as_minutes(at) - 5.0) : 0.0)));
  })) << "up to the limit of the charger";
}

/// Minutes until the watch barks at a thermometer that stands still; 0 if it does not in ten hours.
double barks_after(double volts, double amps) {
  StillThermometerWatch watch;
  watch.begin(ampere_hours(60.0), 6, Volt(12.2));
  for (int s = 0; s < 36'000; ++s) {
    if (watch.check(Second(s), Volt(volts), Ampere(amps), Celsius(25.0))) return s / 60.0;
  }
  return 0.0;
}

TEST(StillThermometerWatch, waits_for_the_heat_that_would_have_shown) {
  // C: 15.6 W settle at 7.5 K; 3 K of them are reached after -2 h * ln(1 - 3 / 7.5).
  EXPECT_NEAR(barks_after(14.4, 12.0), 61.4, 0.2);
  EXPECT_EQ(barks_after(14.4, 3.0), 0.0) << "too little heat to tell";
}

TEST(StillThermometerWatch, is_content_with_a_single_digit) {
  StillThermometerWatch watch;
  watch.begin(ampere_hours(60.0), 6, Volt(12.2));
  for (int s = 0; s < 36'000; ++s) {
    EXPECT_FALSE(watch.check(Second(s), Volt(14.4), Ampere(12.0), Celsius(25.0 + (s / 1800) * 0.1)));
  }
}

}  // namespace
}  // namespace leadwright
