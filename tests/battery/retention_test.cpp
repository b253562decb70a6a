// SPDX-License-Identifier: Apache-2.0
// F: the table of six flooded cells has 75 % at 12.42 V and 100 % at 12.66 V, so 1 mV is 0.104 % of a charge.
#include "daemon/battery/retention.h"

#include <gtest/gtest.h>

#include <cmath>

#include "trace_maker.h"

namespace leadwright {
namespace {

/// Surface charge goes with 8 h; then a straight fall.
TraceMaker standing(double days, double mv_per_day, double surface_mv = 0.0) {
  TraceMaker maker;
  maker.step("stand");
  for (double t = 0.0; t <= days * 86400.0; t += 600.0) {
    const double surface = 1e-3 * surface_mv * std::exp(-t / (2.0 * 3600.0));
    maker.sample(Volt(12.55 - 1e-3 * mv_per_day * t / 86400.0 + surface), Ampere(0.0)).wait(Second(600.0));
  }
  maker.end("time");
  return maker;
}

FindingRequest standing_request(const Trace& trace) {
  FindingRequest request;
  request.calculation = "retention";
  request.trace = &trace;
  request.of = {"stand"};
  request.nameplate.chemistry = Chemistry::flooded;
  request.nameplate.cells = 6;
  return request;
}

TEST(Retention, is_the_slope_after_the_first_day) {
  TraceMaker maker = standing(4.0, 8.0, 80.0);
  const auto stated = state(standing_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  EXPECT_EQ(stated->findings[0].measurand, Measurand::rest_slope);
  EXPECT_NEAR(stated->findings[0].value, -8.0, 0.1);
  EXPECT_EQ(stated->findings[1].measurand, Measurand::self_discharge);
  EXPECT_NEAR(stated->findings[1].value, 0.0083, 0.0002);
  EXPECT_GT(stated->findings[0].u, 0.0);
}

TEST(Retention, of_a_rising_voltage_is_no_negative_loss) {
  TraceMaker maker = standing(3.0, -2.0);
  const auto stated = state(standing_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  EXPECT_GT(stated->findings[0].value, 0.0);
  EXPECT_EQ(stated->findings[1].value, 0.0);
}

// M: +1.2 mV/K for six cells. A room that cools by 5 K in 4 days takes 1.5 mV/day by itself.
TEST(Retention, does_not_take_a_cooling_room_for_self_discharge) {
  TraceMaker maker = standing(4.0, 0.0);
  for (Sample& sample : maker.trace().samples) {
    const double kelvin = -5.0 * sample.at.si() / (4.0 * 86400.0);
    sample.temperature = Celsius(25.0 + kelvin);
    sample.volts = *sample.volts + Volt(0.0012 * kelvin);
  }
  EXPECT_NEAR(state(standing_request(maker.trace()))->findings[0].value, 0.0, 0.01);
}

TEST(Retention, needs_a_day_and_a_half_of_readings_or_a_day) {
  TraceMaker hour = standing(0.9, 8.0);
  EXPECT_EQ(state(standing_request(hour.trace())).error().code, Errc::unsupported);
  TraceMaker day = standing(1.01, 8.0);
  EXPECT_TRUE(state(standing_request(day.trace())));
  TraceMaker silent = standing(4.0, 8.0);
  for (Sample& sample : silent.trace().samples) sample.volts.reset();
  EXPECT_EQ(state(standing_request(silent.trace())).error().code, Errc::unsupported);
}

StandingLook look_at(double after_h, double volts, const char* meter, double degc = 20.0) {
  return {Volt(volts), Volt(0.0058), Volt(0.0002), Celsius(degc), meter, Utc(0) + hours(after_h)};
}

TEST(FallBetween, two_looks_is_what_they_differ_by_in_a_day) {
  const auto fall = fall_between(look_at(0.0, 12.70, "one"), look_at(48.0, 12.65, "one"), 6);
  ASSERT_TRUE(fall);
  EXPECT_NEAR(fall->mv_per_day, 25.0, 1e-6);
  EXPECT_EQ(fall->over, hours(48.0));
  EXPECT_FALSE(fall_between(look_at(5.0, 12.70, "one"), look_at(5.0, 12.65, "one"), 6));
}

// 5.8 mV by the profile: a fifth of it drifts; of two meters both count whole.
TEST(FallBetween, looks_with_one_meter_is_surer_than_with_two_and_surer_the_longer_it_stands) {
  const auto with = [](const char* other, double after_h) {
    return fall_between(look_at(0.0, 12.70, "one"), look_at(after_h, 12.70, other), 6)->u;
  };
  EXPECT_NEAR(with("one", 24.0), std::hypot(0.2828, 1.16, 0.6), 0.01);
  EXPECT_NEAR(with("two", 24.0), std::hypot(0.2828, 8.2, 0.6), 0.05);
  EXPECT_NEAR(with("", 24.0), with("two", 24.0), 1e-9);
  EXPECT_NEAR(with("one", 72.0), with("one", 24.0) / 3.0, 1e-9);
}

// M: +1.2 mV/K for six cells. F/C: it doubles with 10 K.
TEST(FallBetween, looks_is_freed_of_the_rooms_warmth_and_told_for_20_degrees) {
  const auto cooled = fall_between(look_at(0.0, 12.70, "one", 25.0), look_at(24.0, 12.694, "one", 20.0), 6);
  EXPECT_NEAR(cooled->mv_per_day, 0.0, 1e-6);
  const auto warm = fall_between(look_at(0.0, 12.70, "one", 30.0), look_at(24.0, 12.66, "one", 30.0), 6);
  EXPECT_NEAR(warm->mv_per_day, 20.0, 1e-6);
}

}  // namespace
}  // namespace leadwright
