// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, section 15; the row stands beside each.
#include "daemon/battery/peukert.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

double k_of(double c20_ah, double rc_min) {
  return rate_law(ampere_hours(c20_ah), minutes(rc_min))->k;
}

RateLaw hundred_ampere_hours(double k) {
  return {ampere_hours(100.0), hours(20.0), k, Ampere(25.0)};
}

// Rows 7, 8 and 9 (F: makers' ratings in a marine manual, which prints 1.12, 1.24 and 1.17).
TEST(RateExponent, follows_from_the_two_ratings_of_a_label) {
  EXPECT_NEAR(k_of(86.0, 167.0), 1.1203, 0.0005);
  EXPECT_NEAR(k_of(130.0, 225.0), 1.2427, 0.0005);
  EXPECT_NEAR(k_of(216.0, 450.0), 1.1686, 0.0005);
}

// Section 2 (F): 43 Ah with 140 min is a misprint, which an exponent of 0.88 gives away.
TEST(RateExponent, of_less_than_one_gives_a_misprint_away) {
  EXPECT_NEAR(k_of(43.0, 140.0), 0.88, 0.005);
}

// Row 10 (C), and section 2 (C): 9.330 h with k 1.1.
TEST(RateLaw, gives_the_time_at_another_current) {
  EXPECT_NEAR(as_hours(*time_at(hundred_ampere_hours(1.2), Ampere(10.0))), 8.7055, 1e-4);
  EXPECT_NEAR(as_hours(*time_at(hundred_ampere_hours(1.1), Ampere(10.0))), 9.330, 1e-3);
}

// Row 11 (identity).
TEST(RateLaw, gives_twenty_hours_at_the_twenty_hour_rate) {
  for (const double k : {1.0, 1.1, 1.2, 1.3})
    EXPECT_NEAR(as_hours(*time_at(hundred_ampere_hours(k), Ampere(5.0))), 20.0, 1e-9) << k;
}

// Section 2 (C): 60 Ah at 25 A are 94.2 min with k 1.2.
TEST(RateLaw, gives_minutes_at_25_amperes) {
  const RateLaw law{ampere_hours(60.0), hours(20.0), 1.2, Ampere(25.0)};
  EXPECT_NEAR(as_minutes(*time_at(law, Ampere(25.0))), 94.2, 0.05);
}

TEST(RateLaw, is_no_law_above_the_currents_it_comes_from) {
  EXPECT_EQ(time_at(hundred_ampere_hours(1.2), Ampere(320.0)).error().code, Errc::unsupported);
  EXPECT_EQ(time_at(hundred_ampere_hours(1.2), Ampere(0.0)).error().code, Errc::unsupported);
}

TEST(RateExponent, needs_two_different_currents) {
  const Discharged once{Ampere(25.0), minutes(90.0)};
  EXPECT_EQ(peukert_exponent(once, once).error().code, Errc::unsupported);
  EXPECT_FALSE(peukert_exponent({Ampere(3.0), Second(0.0)}, once));
}

}  // namespace
}  // namespace leadwright
