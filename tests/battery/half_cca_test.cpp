// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, section 15, rows 14 to 17 and 45 (F: TM 5-4210-230-14&P-1, table 5).
#include "daemon/battery/half_cca.h"

#include <gmock/gmock.h>

#include <cmath>

#include "trace_maker.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

Celsius from_fahrenheit(double f) {
  return Celsius((f - 32.0) / 1.8);
}

TEST(HalfCcaMinimum, meets_the_published_rows) {
  EXPECT_NEAR(half_cca_minimum(from_fahrenheit(70.0), 6)->si(), 9.6, 1e-9);
  EXPECT_NEAR(half_cca_minimum(from_fahrenheit(30.0), 6)->si(), 9.1, 1e-9);
  EXPECT_NEAR(half_cca_minimum(from_fahrenheit(0.0), 6)->si(), 8.5, 1e-9);
}

TEST(HalfCcaMinimum, is_linear_between_the_rows) {
  EXPECT_NEAR(half_cca_minimum(from_fahrenheit(35.0), 6)->si(), 9.20, 1e-6);
  EXPECT_NEAR(half_cca_minimum(Celsius(0.0), 6)->si(), 9.140, 0.001);
  EXPECT_NEAR(half_cca_minimum(Celsius(18.0), 6)->si(), 9.544, 0.001);
  EXPECT_NEAR(half_cca_minimum(Celsius(-10.0), 6)->si(), 8.780, 0.001);
}

TEST(HalfCcaMinimum, stays_above_the_table_and_is_missing_below_it) {
  EXPECT_NEAR(half_cca_minimum(from_fahrenheit(85.0), 6)->si(), 9.6, 1e-9);
  EXPECT_FALSE(half_cca_minimum(from_fahrenheit(-10.0), 6));
}

// F: the same table's 6 V column.
TEST(HalfCcaMinimum, is_half_for_three_cells) {
  EXPECT_NEAR(half_cca_minimum(from_fahrenheit(70.0), 3)->si(), 4.8, 1e-9);
  EXPECT_NEAR(half_cca_minimum(from_fahrenheit(40.0), 3)->si(), 4.65, 1e-9);
}

/// A rest at 12.6 V, the ramp, then `amps` at a voltage that falls linearly.
TraceMaker load_test(Ampere amps, Volt at_first, Volt at_15_s, Second lasts,
                     Celsius battery = Celsius(25.0)) {
  TraceMaker maker;
  maker.step("rest");
  for (int i = 0; i < 20; ++i) maker.sample(Volt(12.6), Ampere(0.0), battery).wait(Second(1.0));
  maker.step("load");
  maker.sample(Volt(12.58), Ampere(1.0), battery).wait(Second(2.0));
  maker.sample(Volt(12.5), Ampere(5.0), battery).wait(Second(2.0));
  for (double t = 0.0; t <= lasts.si(); t += 0.5) {
    maker.sample(at_first + (at_15_s - at_first) * (t / 15.0), amps, battery).wait(Second(0.5));
  }
  maker.end("15 s under load");
  return maker;
}

FindingRequest load_request(const Trace& trace) {
  FindingRequest request;
  request.calculation = "half_cca_load";
  request.trace = &trace;
  request.of = {"rest", "load"};
  request.nameplate.chemistry = Chemistry::flooded;
  request.nameplate.cells = 6;
  request.nameplate.cca = {Ampere(600.0), RatingStandard::sae};
  return request;
}

TEST(HalfCcaLoad, reads_the_voltage_15_seconds_after_the_full_current_began) {
  TraceMaker maker = load_test(Ampere(300.0), Volt(11.2), Volt(10.6), Second(16.0));
  const auto stated = state(load_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  ASSERT_EQ(stated->findings.size(), 2U);
  EXPECT_EQ(stated->findings[0].measurand, Measurand::load_volts);
  EXPECT_NEAR(stated->findings[0].value, 10.6, 0.001);
  EXPECT_EQ(stated->findings[0].method, "voltage at 15 s under half the CCA");
  EXPECT_EQ(stated->findings[1].measurand, Measurand::load_margin);
  EXPECT_NEAR(stated->findings[1].value, 1.0, 0.001);
  EXPECT_GT(stated->findings[1].u, stated->findings[0].u * 0.999);
}

// By hand: R = (12.6 - 12.4)/25 = 8 mohm; 12.6 - 0.008 * 300 = 10.2 V.
TEST(HalfCcaLoad, extrapolates_from_a_small_load_and_calls_it_an_estimate) {
  TraceMaker small = load_test(Ampere(25.0), Volt(12.45), Volt(12.4), Second(16.0));
  const auto stated = state(load_request(small.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  EXPECT_NEAR(stated->findings[0].value, 10.2, 0.02);
  EXPECT_THAT(stated->findings[0].method, HasSubstr("estimated for half the CCA"));
  TraceMaker full = load_test(Ampere(300.0), Volt(11.0), Volt(10.2), Second(16.0));
  EXPECT_GT(stated->findings[0].u, 5.0 * state(load_request(full.trace()))->findings[0].u);
}

TEST(CrankingLoad, is_half_the_cca_and_without_one_3_a_for_each_ampere_hour) {
  Nameplate plate;
  EXPECT_FALSE(cranking_load(plate));
  plate.c20 = {ampere_hours(60.0), RatingStandard::en};
  EXPECT_NEAR(cranking_load(plate)->amps.si(), 180.0, 1e-9);
  EXPECT_TRUE(cranking_load(plate)->is_by_capacity);
  plate.cca = {Ampere(640.0), RatingStandard::en};
  EXPECT_NEAR(cranking_load(plate)->amps.si(), 320.0, 1e-9);
  EXPECT_FALSE(cranking_load(plate)->is_by_capacity);
}

TEST(HalfCcaLoad, says_which_current_it_was_where_the_label_states_no_cca) {
  TraceMaker maker = load_test(Ampere(180.0), Volt(11.2), Volt(10.6), Second(16.0));
  FindingRequest request = load_request(maker.trace());
  request.nameplate.cca.reset();
  EXPECT_EQ(state(request).error().code, Errc::unsupported);
  request.nameplate.c20 = {ampere_hours(60.0), RatingStandard::en};
  const auto stated = state(request);
  ASSERT_TRUE(stated) << stated.error().line();
  EXPECT_EQ(stated->findings[0].method, "voltage at 15 s under 3 A for each Ah, as its label states no CCA");
  EXPECT_THAT(stated->findings[0].conditions, HasSubstr("180.0 A wanted, 180.0 A drawn"));
  EXPECT_TRUE(is_load_by_capacity(stated->findings[1]));
  EXPECT_FALSE(is_load_estimate(stated->findings[1]));
  ASSERT_EQ(stated->findings.size(), 3U);
  EXPECT_EQ(stated->findings[2].measurand, Measurand::load_margin_usual);
  EXPECT_FALSE(is_load_by_capacity(stated->findings[2])) << "no load that was drawn";
  TraceMaker small = load_test(Ampere(25.0), Volt(12.45), Volt(12.4), Second(16.0));
  request.trace = &small.trace();
  EXPECT_TRUE(is_load_estimate(state(request)->findings[1]));
}

TEST(HalfCcaLoad, tells_who_had_set_the_clamps_anew_before_it) {
  Finding margin;
  margin.conditions = "300.0 A wanted";
  EXPECT_FALSE(followed_reseating(margin));
  mark_reseated(margin);
  EXPECT_TRUE(followed_reseating(margin));
  EXPECT_THAT(margin.conditions, HasSubstr("300.0 A wanted; both clamps set anew before it"));
}

TEST(HalfCcaLoad, gives_no_verdict_without_a_reading_at_15_seconds) {
  TraceMaker silent = load_test(Ampere(300.0), Volt(11.2), Volt(10.6), Second(16.0));
  for (Sample& sample : silent.trace().samples) {
    if (sample.at > Second(30.0)) sample.volts.reset();
  }
  silent.end("time");
  EXPECT_EQ(state(load_request(silent.trace())).error().code, Errc::unsupported);
  TraceMaker too_short = load_test(Ampere(300.0), Volt(11.2), Volt(10.6), Second(10.0));
  too_short.end("time");
  EXPECT_EQ(state(load_request(too_short.trace())).error().code, Errc::unsupported);
}

TEST(HalfCcaLoad, that_ended_because_the_voltage_fell_below_the_least_already_fails_it) {
  TraceMaker maker = load_test(Ampere(300.0), Volt(10.4), Volt(4.0), Second(2.5));
  maker.end("voltage does not hold");
  const auto stated = state(load_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  EXPECT_LT(stated->findings[1].value, 0.0);
  EXPECT_THAT(stated->findings[1].method, HasSubstr("less would have been left at 15 s"));
}

TEST(HalfCcaLoad, that_ended_early_above_the_least_proves_nothing) {
  TraceMaker maker = load_test(Ampere(300.0), Volt(10.4), Volt(10.0), Second(2.5));
  maker.end("instrument cut-off");
  EXPECT_EQ(state(load_request(maker.trace())).error().code, Errc::unsupported);
}

TEST(HalfCcaLoad, of_a_battery_below_0_fahrenheit_is_a_voltage_without_a_margin) {
  TraceMaker maker = load_test(Ampere(300.0), Volt(10.0), Volt(9.0), Second(16.0), Celsius(-20.0));
  const auto stated = state(load_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  ASSERT_EQ(stated->findings.size(), 1U);
  EXPECT_THAT(stated->findings[0].conditions, HasSubstr("can't be judged"));
}

TEST(HalfCcaLoad, needs_a_cca_on_the_label) {
  TraceMaker maker = load_test(Ampere(300.0), Volt(11.2), Volt(10.6), Second(16.0));
  FindingRequest bare = load_request(maker.trace());
  bare.nameplate.cca.reset();
  EXPECT_EQ(state(bare).error().code, Errc::unsupported);
}

}  // namespace
}  // namespace leadwright
