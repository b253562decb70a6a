// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/watch.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

constexpr Follow follow{Ampere(0.1), 0.01, Second(0.5)};
constexpr Instant start{0};

std::optional<Sentence> nth_check(FollowWatch& watch, int count, Ampere measured) {
  std::optional<Sentence> said;
  for (int index = 0; index < count; ++index) said = watch.check(start + Second(1.0 + index), measured);
  return said;
}

TEST(FollowWatch, trips_at_the_third_sample_that_is_off_and_not_before) {
  FollowWatch watch;
  watch.set(Ampere(25.0), start, follow, true);
  EXPECT_FALSE(nth_check(watch, 2, Ampere(12.0)));
  EXPECT_TRUE(watch.check(start + Second(9.0), Ampere(12.0)));
}

TEST(FollowWatch, waits_for_the_settling_time) {
  FollowWatch watch;
  watch.set(Ampere(25.0), start, follow, true);
  for (int index = 0; index < 5; ++index) EXPECT_FALSE(watch.check(start + Second(0.4), Ampere(0.0)));
}

TEST(FollowWatch, a_good_sample_forgives_those_before) {
  FollowWatch watch;
  watch.set(Ampere(25.0), start, follow, true);
  nth_check(watch, 2, Ampere(20.0));
  EXPECT_FALSE(watch.check(start + Second(5.0), Ampere(25.2)));
  EXPECT_FALSE(nth_check(watch, 2, Ampere(20.0)));
}

TEST(FollowWatch, a_charger_may_give_less_than_its_limit_and_never_more) {
  FollowWatch watch;
  watch.set(Ampere(10.0), start, follow, false);
  EXPECT_FALSE(nth_check(watch, 5, Ampere(0.4)));
  EXPECT_TRUE(nth_check(watch, 3, Ampere(10.2)));
}

TEST(FrozenWatch, counts_equal_readings_in_a_row_only) {
  FrozenWatch watch(3);
  EXPECT_FALSE(watch.frozen(Volt(12.0), Ampere(25.0)));
  EXPECT_FALSE(watch.frozen(Volt(12.0), Ampere(25.0)));
  EXPECT_FALSE(watch.frozen(Volt(12.0), Ampere(25.0)));
  EXPECT_TRUE(watch.frozen(Volt(12.0), Ampere(25.0)));
  EXPECT_FALSE(watch.frozen(Volt(11.999), Ampere(25.0)));
}

TEST(FrozenWatch, is_off_where_the_profile_says_so) {
  FrozenWatch watch(0);
  for (int index = 0; index < 100; ++index) EXPECT_FALSE(watch.frozen(Volt(12.0), Ampere(25.0)));
}

TEST(FollowWatch, a_reading_that_is_missing_proves_nothing_and_forgives_nothing) {
  FollowWatch watch;
  watch.set(Ampere(25.0), start, follow, true);
  nth_check(watch, 2, Ampere(12.0));
  EXPECT_TRUE(watch.follows(start + Second(4.0), std::nullopt));
  EXPECT_FALSE(watch.check(start + Second(4.0), std::nullopt));
  EXPECT_TRUE(watch.check(start + Second(5.0), Ampere(12.0)));
}

TEST(FollowWatch, nothing_is_off_before_the_current_has_settled) {
  FollowWatch watch;
  watch.set(Ampere(25.0), start, follow, true);
  EXPECT_TRUE(watch.follows(start + Second(0.4), Ampere(0.0)));
  EXPECT_FALSE(watch.follows(start + Second(0.6), Ampere(0.0)));
}

}  // namespace
}  // namespace leadwright
