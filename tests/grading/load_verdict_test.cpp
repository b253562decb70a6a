// SPDX-License-Identifier: Apache-2.0
// What a failed load test decides, and when it may not. Rated 100 min; the load test is run 3, a charge run
// 4, minutes are measured in run 5.
#include <gmock/gmock.h>

#include "daemon/grading/grade.h"
#include "tests/grading/shipped_policies.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;

/// Failed by 0.5 V, at 24 degC; nothing else was tested.
Evidence failed_at_load() {
  Evidence evidence = charged_and_rested(-0.5);
  evidence.findings.back() = measured(Measurand::temperature, 24.0, 0.6, 3);
  evidence.nameplate.manufactured_on = "2024-01";
  evidence.judged_at = Utc::parse("2026-09-10");
  return evidence;
}

void add_minutes(Evidence& evidence, double value) {
  evidence.findings.push_back(measured(Measurand::returned, 20.0, 0.1, 4));
  evidence.findings.push_back(measured(Measurand::reserve_capacity_ref, value, 1.5, 5));
  evidence.runs.push_back(complete_run(5, "reserve capacity"));
}

TEST(LoadVerdict, stands_where_the_policy_lets_the_load_test_decide) {
  for (const char* name : {"store_claim", "rebuilder_resale", "new_battery"}) {
    EXPECT_TRUE(stands_by_load(failed_at_load(), shipped(name))) << name;
  }
  EXPECT_FALSE(stands_by_load(failed_at_load(), shipped("bench"))) << "there the minutes decide";
}

TEST(LoadVerdict, does_not_stand_on_a_load_test_that_passed_was_undecided_or_was_an_estimate) {
  const Policy policy = shipped("rebuilder_resale");
  for (const double margin : {0.5, -0.01}) {
    Evidence evidence = failed_at_load();
    evidence.findings[2].value = margin;
    EXPECT_FALSE(stands_by_load(evidence, policy)) << margin;
  }
  Evidence estimated = failed_at_load();
  estimated.findings[2].method = "estimated for half the CCA as V0 - R I, R from 25.0 A";
  EXPECT_FALSE(stands_by_load(estimated, policy));
  estimated.findings[2].method =
      "estimated: this place's load can't draw half the CCA; estimated for half the CCA as V0 - R I, R from "
      "100.0 A of the same trace";
  EXPECT_FALSE(stands_by_load(estimated, policy)) << "as a place states it, with its note before it";
}

TEST(LoadVerdict, does_not_stand_on_a_battery_that_was_discharged_cold_deeply_discharged_or_too_young) {
  const Policy policy = shipped("store_claim");
  Evidence discharged = failed_at_load();
  discharged.findings[1].value = 0.7;
  EXPECT_FALSE(stands_by_load(discharged, policy));
  Evidence cold = failed_at_load();
  cold.findings.back().value = 10.0;
  EXPECT_FALSE(stands_by_load(cold, policy));
  Evidence deep = failed_at_load();
  deep.findings.push_back(measured(Measurand::ocv, 10.4, 0.01, 1));
  EXPECT_FALSE(stands_by_load(deep, policy));
  deep.runs.insert(deep.runs.begin(), complete_run(1, "conditioning cycle"));
  EXPECT_TRUE(stands_by_load(deep, policy));
  Evidence young = failed_at_load();
  young.nameplate.manufactured_on = "2026-09-05";
  EXPECT_FALSE(stands_by_load(young, policy));
}

TEST(LoadVerdict, that_stands_is_changed_by_no_minutes) {
  for (const char* name : {"store_claim", "rebuilder_resale"}) {
    for (const double minutes_ : {110.0, 85.0, 70.0, 61.0, 58.0, 30.0}) {
      Evidence evidence = failed_at_load();
      add_minutes(evidence, minutes_);
      const Grade given = grade(evidence, shipped(name));
      EXPECT_EQ(given.letter, 'D') << name << ' ' << minutes_ << ": " << given.reason;
      EXPECT_EQ(given.next_procedure, "") << minutes_;
      evidence.runs.erase(evidence.runs.begin() + 2);
      EXPECT_EQ(grade(evidence, shipped(name)).letter, 'D') << "though the capacity test was not fair";
    }
  }
}

TEST(LoadVerdict, that_does_not_stand_condemns_nothing_together_with_good_minutes) {
  Evidence discharged = failed_at_load();
  discharged.findings[1].value = 0.5;
  add_minutes(discharged, 110.0);
  const Grade given = grade(discharged, shipped("rebuilder_resale"));
  EXPECT_EQ(given.letter, 'U');
  EXPECT_THAT(given.reason, HasSubstr("50 % charged"));
  discharged.findings.back().value = 30.0;
  EXPECT_EQ(grade(discharged, shipped("rebuilder_resale")).letter, 'D') << "by its minutes";
  EXPECT_FALSE(stands_by_load(discharged, shipped("rebuilder_resale")));
}

TEST(LoadVerdict, from_before_a_conditioning_cycle_is_none) {
  Evidence evidence = failed_at_load();
  evidence.runs.push_back(complete_run(4, "conditioning cycle"));
  EXPECT_FALSE(stands_by_load(evidence, shipped("rebuilder_resale")));
  add_minutes(evidence, 110.0);
  const Grade given = grade(evidence, shipped("rebuilder_resale"));
  EXPECT_EQ(given.letter, 'C');
  EXPECT_EQ(given.next_procedure, "half-CCA load test");
}

TEST(LoadVerdict, without_minutes_names_them_where_the_policy_knows_a_second_life) {
  const Grade given = grade(failed_at_load(), shipped("rebuilder_resale"));
  EXPECT_EQ(given.letter, 'D');
  EXPECT_EQ(given.next_procedure, "reserve capacity");
  EXPECT_THAT(given.next_why, HasSubstr("The letter stands"));
  EXPECT_EQ(grade(failed_at_load(), shipped("store_claim")).next_procedure, "");
  Evidence known = failed_at_load();
  add_minutes(known, 70.0);
  EXPECT_EQ(grade(known, shipped("rebuilder_resale")).next_procedure, "");
}

/// Passed at 3 A for each Ah by 1.2 V, as its label states no cranking current; 98 minutes.
Evidence without_cca(double usual_margin) {
  Evidence evidence = charged_and_rested(1.2);
  evidence.findings[2].method = "voltage at 15 s under 3 A for each Ah, as its label states no CCA";
  evidence.findings.push_back(measured(Measurand::load_margin_usual, usual_margin, 0.25, 3));
  add_minutes(evidence, 98.0);
  return evidence;
}

TEST(LoadVerdict, of_a_label_without_cranking_current_must_also_pass_at_what_is_usual) {
  const Grade passed = grade(without_cca(0.6), shipped("rebuilder_resale"));
  EXPECT_EQ(passed.letter, 'A') << passed.reason;
  for (const double doubtful : {0.3, -0.2, -2.0}) {
    const Grade given = grade(without_cca(doubtful), shipped("rebuilder_resale"));
    EXPECT_EQ(given.letter, 'U') << doubtful << ": what is only usual fails nobody; " << given.reason;
    EXPECT_THAT(given.reason,
                HasSubstr("half the cranking current usual for its Ah, which its label does not"));
    EXPECT_EQ(given.next_procedure, "") << "the same load again would tell nothing more";
    EXPECT_THAT(given.next_why, HasSubstr("Its cranking current, by its maker's list"));
  }
  Evidence alone = without_cca(-0.2);
  alone.findings.pop_back();
  EXPECT_EQ(grade(alone, shipped("new_battery")).letter, 'U');
}

TEST(LoadVerdict, that_fails_at_a_smaller_load_fails_whatever_is_usual) {
  Evidence evidence = without_cca(-2.0);
  evidence.findings[2].value = -0.5;
  EXPECT_EQ(grade(evidence, shipped("rebuilder_resale")).letter, 'D');
}

}  // namespace
}  // namespace leadwright
