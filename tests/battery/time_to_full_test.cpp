// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/time_to_full.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "daemon/battery/charge.h"
#include "trace_maker.h"

namespace leadwright {
namespace {

/// 12 A for two hours, then falling to a rest of 0.3 A by a half in so many minutes, at 14.4 V.
TraceMaker charged(double halves_in_min, int minutes_at_limit, const std::string& end) {
  TraceMaker maker;
  maker.step("charge");
  for (int minute = 0; minute < 120; ++minute)
    maker.sample(Volt(13.0 + 0.011 * minute), -Ampere(12.0)).wait(minutes(1.0));
  for (int minute = 0; minute < minutes_at_limit; ++minute)
    maker.sample(Volt(14.4), -Ampere(0.3 + 11.7 * std::exp2(-minute / halves_in_min))).wait(minutes(1.0));
  maker.sample(Volt(14.4), -Ampere(0.3 + 11.7 * std::exp2(-minutes_at_limit / halves_in_min))).end(end);
  return maker;
}

std::optional<Finding> stated(const Trace& trace, Coulomb c20 = ampere_hours(10.0)) {
  FindingRequest request;
  request.calculation = "returned_charge";
  request.trace = &trace;
  request.of = {"charge"};
  request.nameplate.c20 = Rating<Coulomb>{c20, RatingStandard::en};
  const auto findings = state(request);
  if (!findings) return std::nullopt;
  const auto found = std::ranges::find(findings->findings, Measurand::time_to_full, &Finding::measurand);
  return found == findings->findings.end() ? std::nullopt : std::optional(*found);
}

// C: u = 11.7 x 2^(-t/30) A; over the hour before it fell by 3 u, which is a tenth of 0.3 + 4 u at 11.5 mA,
// t = 299.6 min. Twice as loose: 27.3 mA, 262.4 min. 0.01 and 0.02 of 10 Ah, 0.1 and 0.2 A, are never
// reached.
TEST(TimeToFull, is_when_the_current_began_to_fall_by_less_than_a_tenth_in_an_hour) {
  TraceMaker maker = charged(30.0, 330, stable_current_end);
  const auto full = stated(maker.trace());
  ASSERT_TRUE(full);
  EXPECT_NEAR(full->value, 120.0 + 299.6, 7.0);
  EXPECT_NEAR(full->u, std::hypot(37.2, 30.0, 2.5) / std::sqrt(3.0), 3.0);
  EXPECT_NE(full->conditions.find("at 14.40 V"), std::string::npos) << full->conditions;
}

// C: 0.3 + 11.7 x 2^(-t/30) A is 0.6 A, 0.01 of 60 Ah, at 158.6 min; 1.2 A at 111 min.
TEST(TimeToFull, is_when_the_current_was_small_where_that_came_first) {
  TraceMaker maker = charged(30.0, 200, small_current_end);
  const auto full = stated(maker.trace(), ampere_hours(60.0));
  ASSERT_TRUE(full);
  EXPECT_NEAR(full->value, 120.0 + 158.6, 7.0);
  EXPECT_NEAR(full->u, std::hypot(47.6, 2.5) / std::sqrt(3.0), 3.0);
}

TEST(TimeToFull, of_a_slower_one_is_longer) {
  TraceMaker quick = charged(30.0, 330, stable_current_end);
  TraceMaker slow = charged(45.0, 500, stable_current_end);
  ASSERT_TRUE(stated(quick.trace()) && stated(slow.trace()));
  EXPECT_GT(stated(slow.trace())->value, stated(quick.trace())->value + 100.0);
}

TEST(TimeToFull, is_missing_where_the_charge_did_not_end_full_or_was_interrupted) {
  TraceMaker timed = charged(30.0, 330, "time");
  EXPECT_FALSE(stated(timed.trace()));
  TraceMaker early = charged(30.0, 60, stable_current_end);
  EXPECT_FALSE(stated(early.trace())) << "the rule does not hold in its trace";
  TraceMaker resumed = charged(30.0, 330, stable_current_end);
  resumed.trace().steps.back().continues = true;
  EXPECT_FALSE(time_to_full(resumed.trace().steps.back(), resumed.trace().samples, {}));
}

}  // namespace
}  // namespace leadwright
