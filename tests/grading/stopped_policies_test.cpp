// SPDX-License-Identifier: Apache-2.0
// What the shipped policies make of a discharge that was stopped. Rated 100 min; u 1.5 min.
#include <gmock/gmock.h>

#include <string>

#include "daemon/grading/grade.h"
#include "tests/grading/shipped_policies.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;

/// Stopped in run 5 after so many minutes.
Evidence stopped_after(double lasted, double load_margin) {
  Evidence evidence = charged_and_rested(load_margin);
  evidence.findings.push_back(measured(Measurand::reserve_capacity_ref_at_least, lasted, 1.5, 5));
  return evidence;
}

TEST(ShippedPolicies, fail_no_battery_by_forecast) {
  for (const char* name : {"store_claim", "rebuilder_resale", "new_battery", "bench"}) {
    Evidence evidence = stopped_after(20.0, 0.5);
    evidence.findings.erase(evidence.findings.begin() + 2);
    evidence.findings.push_back(measured(Measurand::reserve_capacity_ref_forecast, 30.0, 3.0, 5));
    const Grade given = grade(evidence, shipped(name));
    EXPECT_EQ(given.letter, 'U') << name;
    EXPECT_EQ(given.next_procedure, "reserve capacity") << name;
  }
}

TEST(RebuilderResale, takes_what_a_stopped_discharge_lasted_for_the_grade_and_the_second_life) {
  const Grade given = grade(stopped_after(96.0, 0.5), shipped("rebuilder_resale"));
  EXPECT_EQ(given.letter, 'A');
  EXPECT_THAT(given.reason, HasSubstr("at least 96 min of reserve capacity, where it was stopped,"));
  EXPECT_THAT(given.second_life, HasSubstr("Lighting"));
}

TEST(RebuilderResale, fails_at_cranking_load_what_a_stopped_discharge_would_have_passed) {
  EXPECT_EQ(grade(stopped_after(96.0, -0.5), shipped("rebuilder_resale")).letter, 'D');
}

TEST(RebuilderResale, decides_by_the_load_test_what_was_stopped_too_early) {
  const Grade given = grade(stopped_after(20.0, 0.5), shipped("rebuilder_resale"));
  EXPECT_EQ(given.letter, 'B');
  EXPECT_THAT(given.reason, HasSubstr("its minutes were not measured"));
}

}  // namespace
}  // namespace leadwright
