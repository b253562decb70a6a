// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/reserve_capacity_bounds.h"

#include <gtest/gtest.h>

#include "daemon/battery/discharge.h"
#include "daemon/battery/reserve_capacity.h"
#include "tests/battery/design_maker.h"
#include "tests/battery/trace_maker.h"

namespace leadwright {
namespace {

/// A ramp of 4 s, then 25 A for `lasted` or to the cut-off.
TraceMaker stopped_after(const MadeDischarge& made, Second lasted, const std::string& why) {
  TraceMaker maker;
  maker.step("draw").sample(Volt(12.5), Ampere(5.0)).wait(Second(4.0));
  for (const Sample& sample : made_samples(made, lasted)) {
    maker.sample(sample.volts, Ampere(25.0));
    if (sample.at < lasted) maker.wait(Second(5.0));
  }
  maker.end(why);
  return maker;
}

FindingRequest request_of(const Trace& trace, const DesignCurve* design = nullptr) {
  FindingRequest request;
  request.calculation = "reserve_capacity_bounds";
  request.trace = &trace;
  request.of = {"draw"};
  request.nameplate.cells = 6;
  request.nameplate.chemistry = Chemistry::flooded;
  request.nameplate.reserve_capacity = Rating<Second>{minutes(120.0), RatingStandard::en};
  request.design = design;
  return request;
}

const Finding* find(const Findings& findings, Measurand measurand) {
  for (const Finding& finding : findings.findings)
    if (finding.measurand == measurand) return &finding;
  return nullptr;
}

TEST(ReserveCapacityBounds, of_a_draw_that_was_stopped_say_at_least_and_nothing_more) {
  TraceMaker maker = stopped_after({}, minutes(96.0), "enough");
  const auto stated = state(request_of(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().what;
  const Finding* least = find(*stated, Measurand::reserve_capacity_at_least);
  ASSERT_NE(least, nullptr);
  // C: 96 min and the ramp, 4 s from 5 A to 25 A, worth 2.4 s.
  EXPECT_NEAR(least->value, 96.0 + 2.4 / 60.0, 0.01);
  EXPECT_EQ(least->conditions, "at least 96 min, stopped there (enough)");
  EXPECT_EQ(find(*stated, Measurand::reserve_capacity), nullptr);
  EXPECT_EQ(find(*stated, Measurand::reserve_capacity_ref), nullptr);
  EXPECT_EQ(find(*stated, Measurand::reserve_capacity_ref_forecast), nullptr);
}

TEST(ReserveCapacityBounds, refer_the_least_to_the_rating_temperature_with_its_budget) {
  TraceMaker maker = stopped_after({}, minutes(96.0), "enough");
  for (Sample& sample : maker.trace().samples) sample.temperature = Celsius(20.0);
  const auto stated = state(request_of(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().what;
  const Finding* least = find(*stated, Measurand::reserve_capacity_ref_at_least);
  ASSERT_NE(least, nullptr);
  EXPECT_NEAR(least->value, 96.04 * (1.0 + 0.009 * 5.0), 0.02);
  // Repeatability of 3 % outweighs the rest.
  EXPECT_GT(least->u, 0.03 * least->value);
  EXPECT_LT(least->u, 0.04 * least->value);
}

TEST(ReserveCapacityBounds, without_a_temperature_state_the_measured_minutes_alone) {
  TraceMaker maker = stopped_after({}, minutes(96.0), "enough");
  for (Sample& sample : maker.trace().samples) sample.temperature.reset();
  const auto stated = state(request_of(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().what;
  EXPECT_EQ(stated->findings.size(), 1U);
}

TEST(ReserveCapacityBounds, of_a_draw_to_its_cut_off_are_the_reserve_capacity) {
  TraceMaker maker = stopped_after({}, hours(20.0), "cut-off reached");
  const auto stated = state(request_of(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().what;
  ASSERT_NE(find(*stated, Measurand::reserve_capacity), nullptr);
  EXPECT_NEAR(find(*stated, Measurand::reserve_capacity)->value, as_minutes(end_of_made({})), 0.1);
  EXPECT_EQ(find(*stated, Measurand::reserve_capacity_at_least), nullptr);
}

TEST(ReserveCapacityBounds, give_the_forecast_as_a_finding_that_says_it_is_none_measured) {
  const MadeDischarge bad{2.2, 0.3};
  TraceMaker maker = stopped_after(bad, minutes(25.0), "too few by forecast");
  const DesignCurve curve = made_curve();
  const auto stated = state(request_of(maker.trace(), &curve));
  ASSERT_TRUE(stated) << stated.error().what;
  const Finding* forecast = find(*stated, Measurand::reserve_capacity_ref_forecast);
  ASSERT_NE(forecast, nullptr);
  const double end = as_minutes(end_of_made(bad));
  EXPECT_NEAR(forecast->value, end, 3.0);
  EXPECT_GT(forecast->value + 1.645 * forecast->u, end);
  EXPECT_NE(forecast->method.find("not measured"), std::string::npos);
}

TEST(ReserveCapacityBounds, give_no_forecast_in_the_first_tenth) {
  TraceMaker maker = stopped_after({2.2, 0.3}, minutes(10.0), "too few by forecast");
  const DesignCurve curve = made_curve();
  const auto stated = state(request_of(maker.trace(), &curve));
  ASSERT_TRUE(stated) << stated.error().what;
  EXPECT_EQ(find(*stated, Measurand::reserve_capacity_ref_forecast), nullptr);
}

TEST(DischargeSoFar, is_refused_where_the_cut_off_was_crossed) {
  TraceMaker maker = stopped_after({}, hours(20.0), "cut-off reached");
  const auto draw = discharge_so_far(maker.trace(), maker.trace().steps[0], {Ampere(25.0), Volt(10.5)});
  ASSERT_FALSE(draw);
  EXPECT_EQ(draw.error().code, Errc::unsupported);
}

TEST(DischargeSoFar, is_refused_where_the_current_strayed) {
  TraceMaker maker = stopped_after({}, minutes(30.0), "enough");
  maker.trace().samples[200].amps = Ampere(24.0);
  EXPECT_FALSE(discharge_so_far(maker.trace(), maker.trace().steps[0], {Ampere(25.0), Volt(10.5)}));
}

TEST(DischargeSoFar, is_refused_where_full_current_never_flowed) {
  TraceMaker maker;
  maker.step("draw").sample(Volt(12.5), Ampere(5.0)).end("stopped");
  EXPECT_FALSE(discharge_so_far(maker.trace(), maker.trace().steps[0], {Ampere(25.0), Volt(10.5)}));
}

}  // namespace
}  // namespace leadwright
