// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, sections 10 and 15.
#include "daemon/grading/decision.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace leadwright {
namespace {

constexpr double limit = 90.0;
constexpr double u_given = 1.5;

// Row 32 and the example of section 10 (C).
TEST(Conformance, has_the_probabilities_of_the_worked_example) {
  EXPECT_NEAR(conformance_probability({92.0, u_given}, limit), 0.90879, 1e-5);
  EXPECT_NEAR(conformance_probability({96.0, u_given}, limit), 0.99997, 1e-5);
  EXPECT_NEAR(conformance_probability({93.0, u_given}, limit), 0.97725, 1e-5);
  EXPECT_NEAR(conformance_probability({91.0, u_given}, limit), 0.74751, 1e-5);
  EXPECT_NEAR(conformance_probability({90.0, u_given}, limit), 0.50000, 1e-5);
  EXPECT_NEAR(conformance_probability({88.0, u_given}, limit), 0.09121, 1e-5);
}

// Row 33 (F rule): w = 2u.
TEST(Conformance, is_undecided_inside_the_guard_band) {
  EXPECT_EQ(decide({92.9, u_given}, limit, 2.0).outcome, Conformance::undecided);
  EXPECT_EQ(decide({93.1, u_given}, limit, 2.0).outcome, Conformance::conforms);
  EXPECT_EQ(decide({87.1, u_given}, limit, 2.0).outcome, Conformance::undecided);
  EXPECT_EQ(decide({86.9, u_given}, limit, 2.0).outcome, Conformance::does_not_conform);
}

// Section 10 (C): at 5 % risk accept from 92.47.
TEST(Conformance, accepts_from_92_47_at_five_percent_risk) {
  EXPECT_EQ(decide({92.46, u_given}, limit, 1.645).outcome, Conformance::undecided);
  EXPECT_EQ(decide({92.47, u_given}, limit, 1.645).outcome, Conformance::conforms);
}

TEST(Conformance, is_a_step_without_uncertainty) {
  EXPECT_EQ(conformance_probability({90.0, 0.0}, limit), 1.0);
  EXPECT_EQ(conformance_probability({89.9, 0.0}, limit), 0.0);
}

TEST(Conformance, decides_nothing_from_what_is_not_a_number) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double infinity = std::numeric_limits<double>::infinity();
  EXPECT_EQ(decide({nan, u_given}, limit, 2.0).outcome, Conformance::undecided);
  EXPECT_EQ(decide({96.0, nan}, limit, 2.0).outcome, Conformance::undecided);
  EXPECT_EQ(decide({infinity, u_given}, limit, 2.0).outcome, Conformance::undecided);
  EXPECT_EQ(decide({96.0, -1.0}, limit, 2.0).outcome, Conformance::undecided);
}

}  // namespace
}  // namespace leadwright
