// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, sections 3 and 15.
#include "daemon/battery/cranking_rating.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

// Row 12 (F): 73 s at 0.6 of the rating are level 1, 90 s in all; 133 s are level 2 (C).
TEST(EnCranking, counts_the_first_phase_as_17_seconds) {
  EXPECT_NEAR(en_cranking_time(Second(73.0)).si(), 90.0, 1e-9);
  EXPECT_NEAR(en_cranking_time(Second(133.0)).si(), 150.0, 1e-9);
}

// Row 13 (F): 600 to 800 A by 40.
TEST(EnRating, of_615_amperes_lies_between_two_steps) {
  EXPECT_NEAR(en_step_up(Ampere(615.0)).si(), 640.0, 1e-9);
  EXPECT_NEAR(en_step_down(Ampere(615.0)).si(), 600.0, 1e-9);
}

TEST(EnRating, of_each_range_has_its_own_step) {
  for (const double amps : {190.0, 200.0, 280.0, 300.0, 330.0, 600.0, 640.0, 800.0, 850.0}) {
    EXPECT_EQ(en_step_down(Ampere(amps)), Ampere(amps));
    EXPECT_EQ(en_step_up(Ampere(amps)), Ampere(amps));
  }
  EXPECT_EQ(en_step_up(Ampere(781.0)), Ampere(800.0));
  EXPECT_EQ(en_step_down(Ampere(849.0)), Ampere(800.0));
}

}  // namespace
}  // namespace leadwright
