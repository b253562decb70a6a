// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/volts_watch.h"

#include <gtest/gtest.h>

#include <vector>

namespace leadwright {
namespace {

/// What the watch says in the end of these volts at 25 A, a reading every `period`.
std::optional<Sentence> said(const std::vector<double>& volts, Second period = Second(0.5)) {
  ClampWatch watch;
  std::optional<Sentence> sentence;
  for (std::size_t i = 0; i < volts.size() && !sentence; ++i) {
    sentence = watch.check(period * static_cast<double>(i), Volt(volts[i]), Ampere(25.0));
  }
  return sentence;
}

TEST(ClampWatch, tells_a_step_between_level_stretches_from_a_cell_that_goes_on_falling) {
  EXPECT_TRUE(said({12.0, 12.0, 12.0, 11.6, 11.6, 11.6}));
  EXPECT_FALSE(said({11.0, 10.9, 10.7, 10.3, 9.9, 9.5, 9.1, 8.9}));
  EXPECT_FALSE(said({12.0, 12.0, 12.0, 11.8, 11.8, 11.8})) << "8 mOhm are within what a joint may do";
}

TEST(ClampWatch, takes_any_step_up_for_a_clamp_since_no_battery_rises_so) {
  EXPECT_TRUE(said({11.5, 11.4, 11.3, 11.9, 11.9, 11.8}));
}

TEST(ClampWatch, one_flipped_digit_is_no_step) {
  EXPECT_FALSE(said({12.0, 12.0, 12.0, 2.0, 12.0, 12.0, 12.0, 13.0, 12.0, 12.0}));
}

TEST(ClampWatch, says_nothing_of_readings_too_far_apart) {
  EXPECT_FALSE(said({12.0, 12.0, 12.0, 11.6, 11.6, 11.6}, Second(5.0)));
}

TEST(LostCurrentWatch, tells_a_current_that_is_gone_at_once_from_one_that_tapers) {
  LostCurrentWatch watch;
  for (int i = 0; i < 4; ++i) EXPECT_FALSE(watch.check(Second(i), Ampere(12.0)));
  EXPECT_FALSE(watch.check(Second(4.0), Ampere(0.0)));
  EXPECT_FALSE(watch.check(Second(5.0), Ampere(0.0)));
  EXPECT_TRUE(watch.check(Second(6.0), Ampere(0.0)));
  watch.clear();
  double amps = 12.0;
  for (int i = 0; i < 900; ++i, amps *= 0.98) EXPECT_FALSE(watch.check(Second(i), Ampere(amps)));
}

TEST(EndedCurrentWatch, tells_a_small_current_that_is_gone_at_once_from_one_that_tapers) {
  EndedCurrentWatch watch;
  EXPECT_FALSE(watch.check(Ampere(0.0))) << "nothing has flowed yet";
  EXPECT_FALSE(watch.check(Ampere(0.0)));
  EXPECT_FALSE(watch.check(Ampere(0.3)));
  EXPECT_FALSE(watch.check(Ampere(0.0)));
  EXPECT_FALSE(watch.check(Ampere(0.3))) << "a flipped digit";
  EXPECT_FALSE(watch.check(Ampere(0.0)));
  EXPECT_TRUE(watch.check(Ampere(0.0)));
  watch.clear();
  double amps = 12.0;
  for (int i = 0; i < 900; ++i, amps *= 0.98) EXPECT_FALSE(watch.check(Ampere(amps)));
}

TEST(SensesWatch, believes_two_readings_and_not_one) {
  SensesWatch watch;
  EXPECT_FALSE(watch.check(Volt(11.5), Volt(11.9), Ampere(25.0)));
  EXPECT_FALSE(watch.check(Volt(11.5), Volt(11.5), Ampere(25.0)));
  EXPECT_FALSE(watch.check(Volt(11.5), Volt(11.9), Ampere(25.0)));
  EXPECT_TRUE(watch.check(Volt(11.5), Volt(11.9), Ampere(25.0)));
}

TEST(FallingVoltsWatch, lets_a_sulphated_battery_fall_in_its_first_half_hour) {
  FallingVoltsWatch watch;
  watch.begin(Ampere(10.0), 6);
  for (int s = 0; s < 1700; s += 10) {
    EXPECT_FALSE(watch.check(Second(s), Volt(15.0 - 0.001 * s), Ampere(10.0))) << s;
  }
}

TEST(FallingVoltsWatch, looks_at_constant_current_only) {
  FallingVoltsWatch watch;
  watch.begin(Ampere(10.0), 6);
  for (int s = 0; s < 7200; s += 10) {
    EXPECT_FALSE(watch.check(Second(s), Volt(14.4 - 0.0005 * s), Ampere(9.0))) << s;
  }
}

}  // namespace
}  // namespace leadwright
