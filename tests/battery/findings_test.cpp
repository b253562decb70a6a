// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/findings.h"

#include <gtest/gtest.h>

#include "trace_maker.h"

namespace leadwright {
namespace {

TraceMaker settled(Second length, double mv_per_hour) {
  TraceMaker maker;
  maker.step("settle");
  for (double t = 0.0; t <= length.si(); t += 10.0) {
    maker.sample(Volt(12.42 - 1e-3 * mv_per_hour * (t - length.si()) / 3600.0), Ampere(0.0))
        .wait(Second(10.0));
  }
  maker.end("voltage is stable");
  return maker;
}

FindingRequest request(const Trace& trace, std::string_view calculation) {
  FindingRequest request;
  request.calculation = calculation;
  request.trace = &trace;
  request.of = {"settle"};
  request.nameplate.chemistry = Chemistry::flooded;
  request.nameplate.cells = 6;
  return request;
}

// 12.42 V is 75 % (shared domain notes, section 5).
TEST(State, gives_the_state_of_charge_of_a_battery_at_rest) {
  TraceMaker maker = settled(minutes(45.0), 2.0);
  const auto stated = state(request(maker.trace(), "soc"));
  ASSERT_TRUE(stated);
  EXPECT_NEAR(stated->findings[0].value, 0.75, 0.005);
  EXPECT_GT(stated->findings[0].u, 0.03);
}

TEST(State, gives_no_state_of_charge_while_the_voltage_still_moves) {
  TraceMaker maker = settled(minutes(45.0), 20.0);
  const auto stated = state(request(maker.trace(), "soc"));
  ASSERT_FALSE(stated);
  EXPECT_EQ(stated.error().code, Errc::unsupported);
}

TEST(State, gives_the_voltage_also_then_and_says_so) {
  TraceMaker maker = settled(minutes(45.0), 20.0);
  const auto stated = state(request(maker.trace(), "ocv"));
  ASSERT_TRUE(stated);
  EXPECT_NEAR(stated->findings[0].value, 12.42, 0.001);
  EXPECT_NE(stated->findings[0].conditions.find("not rested"), std::string::npos);
}

TEST(State, finds_a_pack_that_rests_above_any_lead_battery) {
  TraceMaker maker = settled(minutes(45.0), 0.0);
  for (Sample& sample : maker.trace().samples) sample.volts = Volt(13.95);
  const auto stated = state(request(maker.trace(), "ocv"));
  ASSERT_TRUE(stated);
  ASSERT_EQ(stated->faults.size(), 1U);
  EXPECT_EQ(stated->faults[0].kind, FaultKind::not_lead);
}

TEST(State, never_reads_a_missing_voltage_as_a_number) {
  TraceMaker maker = settled(minutes(45.0), 0.0);
  maker.trace().samples.back().volts.reset();
  EXPECT_EQ(state(request(maker.trace(), "ocv")).error().code, Errc::unsupported);
}

TEST(State, refuses_what_it_does_not_know) {
  TraceMaker maker = settled(minutes(45.0), 0.0);
  EXPECT_EQ(state(request(maker.trace(), "magic")).error().code, Errc::bad_input);
  FindingRequest elsewhere = request(maker.trace(), "ocv");
  elsewhere.of = {"nowhere"};
  EXPECT_EQ(state(elsewhere).error().code, Errc::not_found);
  elsewhere.of.clear();
  EXPECT_EQ(state(elsewhere).error().code, Errc::bad_input);
  EXPECT_TRUE(is_calculation("intake"));
  EXPECT_FALSE(is_calculation("magic"));
}

TEST(State, survives_spans_that_point_outside_the_trace) {
  TraceMaker maker = settled(minutes(45.0), 0.0);
  maker.trace().steps[0].last = 1000000;
  EXPECT_EQ(state(request(maker.trace(), "ocv")).error().code, Errc::unsupported);
}

}  // namespace
}  // namespace leadwright
