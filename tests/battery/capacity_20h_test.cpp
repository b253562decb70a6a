// SPDX-License-Identifier: Apache-2.0
// Row 6 of the shared domain notes, section 15 (M): 100 Ah at 15 degC is 110.0 or 111.11 Ah at 25 degC.
#include "daemon/battery/capacity_20h.h"

#include <gmock/gmock.h>

#include "trace_maker.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

TEST(Capacity20h, is_referred_to_25_degrees_by_both_forms) {
  EXPECT_NEAR(as_ampere_hours(at_25_degc_multiplied(ampere_hours(100.0), Celsius(15.0))), 110.0, 0.01);
  EXPECT_NEAR(as_ampere_hours(at_25_degc_divided(ampere_hours(100.0), Celsius(15.0))), 111.11, 0.01);
  EXPECT_EQ(at_25_degc_multiplied(ampere_hours(60.0), Celsius(25.0)), ampere_hours(60.0));
}

/// 3 A from 12.6 V to 10.5 V, linearly, in `length`.
TraceMaker slow_draw(Second length, std::optional<Celsius> battery) {
  TraceMaker maker;
  maker.step("draw");
  for (double t = 0.0; t <= length.si() + 60.0; t += 30.0) {
    maker.sample(Volt(12.6 - 2.1 * t / length.si()), Ampere(3.0), battery).wait(Second(30.0));
  }
  maker.end("cut-off reached");
  return maker;
}

FindingRequest capacity_request(const Trace& trace) {
  FindingRequest request;
  request.calculation = "capacity_20h";
  request.trace = &trace;
  request.of = {"draw"};
  request.nameplate.chemistry = Chemistry::flooded;
  request.nameplate.cells = 6;
  request.nameplate.c20 = {ampere_hours(60.0), RatingStandard::en};
  return request;
}

TEST(Capacity20h, is_the_charge_to_1_75_volts_a_cell_and_the_same_at_25_degrees) {
  TraceMaker maker = slow_draw(hours(18.0), Celsius(15.0));
  const auto stated = state(capacity_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  ASSERT_EQ(stated->findings.size(), 3U);
  EXPECT_EQ(stated->findings[0].measurand, Measurand::capacity_20h);
  EXPECT_NEAR(stated->findings[0].value, 54.0, 0.02);
  EXPECT_THAT(stated->findings[0].conditions, HasSubstr("the 20.0 h rate of the label's 60.0 Ah"));
  EXPECT_EQ(stated->findings[1].measurand, Measurand::capacity_20h_ref);
  EXPECT_NEAR(stated->findings[1].value, 54.0 * 1.1, 0.02);
  EXPECT_THAT(stated->findings[1].conditions, HasSubstr("divided instead 60.00 Ah"));
  EXPECT_GT(stated->findings[1].u, stated->findings[0].u);
}

TEST(Capacity20h, is_not_referred_to_anything_without_a_temperature) {
  TraceMaker maker = slow_draw(hours(18.0), std::nullopt);
  const auto stated = state(capacity_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  EXPECT_EQ(stated->findings.size(), 1U);
}

TEST(Capacity20h, says_so_when_the_label_states_none) {
  TraceMaker maker = slow_draw(hours(18.0), Celsius(25.0));
  FindingRequest bare = capacity_request(maker.trace());
  bare.nameplate.c20.reset();
  EXPECT_THAT(state(bare)->findings[0].conditions, HasSubstr("states no 20-hour capacity"));
}

TEST(Capacity20h, is_unsupported_when_the_cut_off_was_not_reached) {
  TraceMaker maker = slow_draw(hours(18.0), Celsius(25.0));
  maker.trace().steps[0].last -= 10;
  EXPECT_EQ(state(capacity_request(maker.trace())).error().code, Errc::unsupported);
}

}  // namespace
}  // namespace leadwright
