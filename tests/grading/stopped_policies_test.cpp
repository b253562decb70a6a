// SPDX-License-Identifier: Apache-2.0
// What the shipped policies make of a discharge that was stopped. Rated 100 min; u 1.5 min.
#include <gmock/gmock.h>

#include <string>

#include "daemon/grading/grade.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;

Policy policy_of(const std::string& name) {
  auto policy = load_policy(LEADWRIGHT_SOURCE_DIR "/config/policies/" + name + ".toml");
  EXPECT_TRUE(policy) << policy.error()[0].line();
  return policy ? *policy : Policy{};
}

Finding found_in(int run, Measurand measurand, double value, double u) {
  Finding finding;
  finding.measurand = measurand;
  finding.value = value;
  finding.u = u;
  finding.run = RunId{run};
  finding.at = Utc(1000 * run);
  return finding;
}

/// Charged, rested, at 24 degC; a load test in run 4; stopped in run 5 after so many minutes.
Evidence stopped_after(double lasted, double load_margin) {
  Evidence evidence;
  evidence.nameplate.chemistry = Chemistry::flooded;
  evidence.nameplate.cells = 6;
  evidence.nameplate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::en};
  evidence.findings = {found_in(2, Measurand::ocv, 12.66, 0.01), found_in(2, Measurand::soc, 0.98, 0.04),
                       found_in(4, Measurand::load_margin, load_margin, 0.02),
                       found_in(5, Measurand::temperature, 24.0, 0.6),
                       found_in(5, Measurand::reserve_capacity_ref_at_least, lasted, 1.5)};
  return evidence;
}

TEST(ShippedPolicies, fail_no_battery_by_forecast) {
  for (const char* name : {"store_claim", "rebuilder_resale", "new_battery", "bench"}) {
    Evidence evidence = stopped_after(20.0, 0.5);
    evidence.findings.erase(evidence.findings.begin() + 2);
    evidence.findings.push_back(found_in(5, Measurand::reserve_capacity_ref_forecast, 30.0, 3.0));
    const Grade given = grade(evidence, policy_of(name));
    EXPECT_EQ(given.letter, 'U') << name;
    EXPECT_EQ(given.next_procedure, "reserve capacity") << name;
  }
}

TEST(RebuilderResale, takes_what_a_stopped_discharge_lasted_for_the_grade_and_the_second_life) {
  const Grade given = grade(stopped_after(96.0, 0.5), policy_of("rebuilder_resale"));
  EXPECT_EQ(given.letter, 'A');
  EXPECT_THAT(given.reason, HasSubstr("at least 96 min of reserve capacity, where it was stopped,"));
  EXPECT_THAT(given.second_life, HasSubstr("Lighting"));
}

TEST(RebuilderResale, fails_at_cranking_load_what_a_stopped_discharge_would_have_passed) {
  EXPECT_EQ(grade(stopped_after(96.0, -0.5), policy_of("rebuilder_resale")).letter, 'D');
}

TEST(RebuilderResale, decides_by_the_load_test_what_was_stopped_too_early) {
  const Grade given = grade(stopped_after(20.0, 0.5), policy_of("rebuilder_resale"));
  EXPECT_EQ(given.letter, 'B');
  EXPECT_THAT(given.reason, HasSubstr("its minutes were not measured"));
}

}  // namespace
}  // namespace leadwright
