// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, section 15.
#include "daemon/battery/resistance.h"

#include <gtest/gtest.h>

#include <cmath>

#include "trace_maker.h"

namespace leadwright {
namespace {

constexpr CurrentLevel low{Volt(12.520), Ampere(10.0)};
constexpr CurrentLevel high{Volt(12.280), Ampere(50.0)};

// Row 24 (C): 6.000 mohm and 2096.7 A.
TEST(TwoLevelResistance, meets_the_worked_example) {
  const auto result = two_level_resistance(low, high);
  ASSERT_TRUE(result);
  EXPECT_NEAR(result->resistance.si(), 6.000e-3, 1e-6);
  EXPECT_NEAR(result->no_load.si(), 12.580, 1e-6);
  EXPECT_NEAR(result->short_circuit.si(), 2096.7, 0.1);
}

// Row 25 (C): u 2 mV and 50 mA give 0.0715 mohm.
TEST(TwoLevelResistance, meets_the_worked_uncertainty) {
  const auto result = two_level_resistance(low, high);
  EXPECT_NEAR(u_of(*result, Ampere(40.0), Volt(0.002), Ampere(0.050)).si(), 0.0715e-3, 1e-7);
}

TEST(TwoLevelResistance, is_not_stated_where_nothing_can_be_compared) {
  EXPECT_EQ(two_level_resistance(low, CurrentLevel{Volt(12.5), Ampere(10.5)}).error().code,
            Errc::unsupported);
  EXPECT_EQ(two_level_resistance(low, CurrentLevel{Volt(12.6), Ampere(50.0)}).error().code,
            Errc::unsupported);
}

FindingRequest request(const Trace& trace) {
  FindingRequest request;
  request.calculation = "resistance";
  request.trace = &trace;
  request.of = {"lower", "higher"};
  return request;
}

TraceMaker two_draws() {
  TraceMaker maker;
  maker.step("lower")
      .sample(Volt(12.7), Ampere(0.0))
      .wait(Second(20.0))
      .sample(low.volts, low.amps)
      .end("time");
  maker.wait(Second(60.0));
  maker.step("higher")
      .sample(Volt(12.7), Ampere(0.0))
      .wait(Second(20.0))
      .sample(high.volts, high.amps)
      .end("time");
  return maker;
}

TEST(StatedResistance, reads_the_end_of_each_draw) {
  TraceMaker maker = two_draws();
  const auto findings = state_resistance(request(maker.trace()));
  ASSERT_TRUE(findings);
  ASSERT_EQ(findings->findings.size(), 1U);
  EXPECT_NEAR(findings->findings[0].value, 6.000e-3, 1e-6);
  EXPECT_GT(findings->findings[0].u, 0.0);
  EXPECT_EQ(findings->findings[0].measurand, Measurand::resistance);
}

TEST(StatedResistance, does_not_depend_on_the_meters_offset) {
  TraceMaker maker = two_draws();
  FindingRequest with_offset = request(maker.trace());
  with_offset.accuracy.volts_absolute = Volt(1.0);
  EXPECT_EQ(state_resistance(request(maker.trace()))->findings[0].u,
            state_resistance(with_offset)->findings[0].u);
}

TEST(StatedResistance, is_unsupported_when_a_reading_is_missing_at_the_end_of_a_draw) {
  TraceMaker maker = two_draws();
  maker.trace().samples.back().volts.reset();
  EXPECT_EQ(state_resistance(request(maker.trace())).error().code, Errc::unsupported);
}

}  // namespace
}  // namespace leadwright
