// SPDX-License-Identifier: Apache-2.0
// Row 44 of the shared domain notes, section 15 (F: service manuals): a peak of 15.4 V passes, 15.6 V fails.
#include "daemon/battery/three_minute_charge.h"

#include <gmock/gmock.h>

#include "trace_maker.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

TraceMaker given_minutes(Volt peak, Ampere amps) {
  TraceMaker maker;
  maker.step("rest");
  for (int i = 0; i < 12; ++i) maker.sample(Volt(12.0), Ampere(0.0)).wait(Second(1.0));
  maker.step("charge");
  for (int i = 0; i <= 180; ++i) {
    maker.sample(Volt(12.0) + (peak - Volt(12.0)) * (i / 180.0), -amps).wait(Second(1.0));
  }
  maker.end("time");
  return maker;
}

FindingRequest minutes_request(const Trace& trace) {
  FindingRequest request;
  request.calculation = "three_minute_charge";
  request.trace = &trace;
  request.of = {"rest", "charge"};
  request.nameplate.chemistry = Chemistry::flooded;
  request.nameplate.cells = 6;
  return request;
}

TEST(ThreeMinuteCharge, passes_below_15_5_volts_and_fails_above) {
  for (const auto& [peak, margin] : {std::pair(15.4, 0.1), std::pair(15.6, -0.1)}) {
    TraceMaker maker = given_minutes(Volt(peak), Ampere(40.0));
    const auto stated = state(minutes_request(maker.trace()));
    ASSERT_TRUE(stated) << stated.error().line();
    EXPECT_EQ(stated->findings[0].measurand, Measurand::charge_peak);
    EXPECT_NEAR(stated->findings[0].value, peak, 1e-9);
    EXPECT_EQ(stated->findings[1].measurand, Measurand::charge_margin);
    EXPECT_NEAR(stated->findings[1].value, margin, 1e-9);
  }
}

// By hand: 12.0 V + 2.0 V x 40/20 = 16.0 V.
TEST(ThreeMinuteCharge, of_a_small_charger_is_an_estimate) {
  TraceMaker maker = given_minutes(Volt(14.0), Ampere(20.0));
  const auto stated = state(minutes_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  EXPECT_NEAR(stated->findings[0].value, 16.0, 1e-9);
  EXPECT_GT(stated->findings[0].u, 0.3);
  EXPECT_THAT(stated->findings[0].method, HasSubstr("estimated for 40 A"));
}

TEST(ThreeMinuteCharge, is_no_estimate_where_a_small_current_has_already_lifted_it_too_high) {
  TraceMaker maker = given_minutes(Volt(15.8), Ampere(9.0));
  const auto stated = state(minutes_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  EXPECT_NEAR(stated->findings[0].value, 15.8, 1e-9);
  EXPECT_THAT(stated->findings[0].method, HasSubstr("only 9.0 A flowed"));
  EXPECT_NEAR(stated->findings[1].value, -0.3, 1e-9);
}

TEST(ThreeMinuteCharge, is_for_flooded_batteries_only) {
  TraceMaker maker = given_minutes(Volt(14.0), Ampere(40.0));
  FindingRequest gel = minutes_request(maker.trace());
  gel.nameplate.chemistry = Chemistry::gel;
  EXPECT_EQ(state(gel).error().code, Errc::unsupported);
}

TEST(ThreeMinuteCharge, states_nothing_without_readings) {
  TraceMaker maker = given_minutes(Volt(14.0), Ampere(40.0));
  for (std::size_t i = 12; i < maker.trace().samples.size(); ++i) maker.trace().samples[i].volts.reset();
  EXPECT_EQ(state(minutes_request(maker.trace())).error().code, Errc::unsupported);
}

}  // namespace
}  // namespace leadwright
