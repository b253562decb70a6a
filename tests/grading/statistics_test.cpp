// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, sections 11 and 15; the row stands beside each.
#include "daemon/grading/statistics.h"

#include <gtest/gtest.h>

#include <cmath>

namespace leadwright {
namespace {

constexpr double z_90 = 1.6448536269514722;
constexpr double z_95 = 1.9599639845400545;

// Row 38 (F: a statistics package's own test).
TEST(WilsonInterval, of_five_in_ten_at_90_percent) {
  const ShareInterval half = wilson_interval(5, 10, z_90);
  EXPECT_NEAR(half.low, 0.2692718, 1e-7);
  EXPECT_NEAR(half.high, 0.7307282, 1e-7);
}

// Row 39 (M/C).
TEST(WilsonInterval, of_nothing_in_twenty_still_has_a_width) {
  const ShareInterval none = wilson_interval(0, 20, z_95);
  EXPECT_EQ(none.low, 0.0);
  EXPECT_NEAR(none.high, 0.1611, 1e-4);
}

// Section 11 (F, M and C): 6/32, 81/263, 15/148, 1/29, 200/400.
TEST(WilsonInterval, meets_the_other_published_counts) {
  EXPECT_NEAR(wilson_interval(6, 32, z_95).low, 0.0888955, 1e-7);
  EXPECT_NEAR(wilson_interval(6, 32, z_95).high, 0.3530916, 1e-7);
  EXPECT_NEAR(wilson_interval(81, 263, z_95).high, 0.3662, 1e-4);
  EXPECT_NEAR(wilson_interval(15, 148, z_95).low, 0.0624, 1e-4);
  EXPECT_NEAR(wilson_interval(1, 29, z_95).high, 0.1718, 1e-4);
  EXPECT_NEAR(wilson_interval(200, 400, z_95).low, 0.4512, 1e-4);
}

TEST(WilsonInterval, says_nothing_without_trials) {
  EXPECT_EQ(wilson_interval(0, 0, z_95).low, 0.0);
  EXPECT_EQ(wilson_interval(0, 0, z_95).high, 1.0);
}

// Row 40 (C; printed by a handbook: M). Without a failure it accepts from the 24th trial.
TEST(SequentialTest, has_the_lines_of_the_handbook) {
  const WaldLines lines = wald_lines({0.01, 0.10}, {0.05, 0.10});
  EXPECT_NEAR(lines.accept, 0.9389, 1e-4);
  EXPECT_NEAR(lines.reject, 1.2054, 1e-4);
  EXPECT_NEAR(lines.slope, 0.03975, 1e-4);
  EXPECT_EQ(std::ceil(lines.accept / lines.slope), 24.0);
}

// Row 41 (C).
TEST(SequentialTest, has_the_bounds_of_its_allowed_errors) {
  EXPECT_NEAR(wald_bounds({0.05, 0.10}).reject, 2.8904, 1e-4);
  EXPECT_NEAR(wald_bounds({0.05, 0.10}).accept, -2.2513, 1e-4);
}

// Row 42 (F: a library's own test): the shares are those of its null hypothesis 0.5 and its alternative 0.1.
TEST(SequentialTest, accepts_the_null_after_two_hits_and_goes_on_after_none) {
  const TwoShares shares{0.5, 0.1};
  const WaldBounds bounds = wald_bounds({0.05, 0.05});
  const double two_hits = likelihood_ratio(shares, 2, 2);
  EXPECT_NEAR(two_hits, 0.04, 1e-9);
  EXPECT_NEAR(std::exp(bounds.accept), 0.05263, 1e-5);
  EXPECT_LE(std::log(two_hits), bounds.accept);
  const double none = likelihood_ratio(shares, 0, 2);
  EXPECT_NEAR(none, 3.24, 1e-9);
  EXPECT_LT(std::log(none), bounds.reject);
  EXPECT_GT(std::log(none), bounds.accept);
}

}  // namespace
}  // namespace leadwright
