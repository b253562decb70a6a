// SPDX-License-Identifier: Apache-2.0
#include "tools/minutes_trial/trial.h"

#include <gtest/gtest.h>

#include <cmath>

namespace leadwright {
namespace {

TEST(MinutesTrial, states_minutes_of_every_battery_of_every_kind) {
  const auto all = stated_minutes(2, 1);
  EXPECT_EQ(all.size(), 26U);
  for (const RehearsedReturn& one : all) {
    ASSERT_TRUE(one.visit.minutes) << one.one.kind;
    const double off = one.visit.minutes->value / as_minutes(one.truth.minutes) - 1.0;
    EXPECT_LT(std::abs(off), 0.15) << one.one.kind << ": five times the repeatability of a battery";
  }
}

TEST(MinutesTrial, gives_the_same_for_the_same_seed_and_another_for_another) {
  const auto value = [](std::uint64_t seed) { return stated_minutes(1, seed).front().visit.minutes->value; };
  EXPECT_EQ(value(1), value(1));
  EXPECT_NE(value(1), value(2));
}

}  // namespace
}  // namespace leadwright
