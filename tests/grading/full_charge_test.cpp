// SPDX-License-Identifier: Apache-2.0
// A capacity test counts only where the runs show a completed charge before it and nothing drawn in between.
// Rated 100 min, u 1.5 min; the rested voltage says 98 % in every one.
#include "daemon/grading/full_charge.h"

#include <gmock/gmock.h>

#include "daemon/grading/grade.h"
#include "tests/grading/shipped_policies.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;

Run ended(int id, const std::string& procedure, RunOutcome outcome) {
  Run run = complete_run(id, procedure);
  run.outcome = outcome;
  return run;
}

/// These runs, then `minutes_` measured in run 9.
Evidence tested_after(std::vector<Run> runs, double minutes_) {
  Evidence evidence = charged_and_rested(0.5);
  evidence.runs = std::move(runs);
  evidence.runs.push_back(complete_run(9, "reserve capacity"));
  evidence.findings.push_back(measured(Measurand::reserve_capacity_ref, minutes_, 1.5, 9));
  return evidence;
}

char letter_after(std::vector<Run> runs, double minutes_ = 50.0) {
  return grade(tested_after(std::move(runs), minutes_), Policy{}).letter;
}

TEST(FullCharge, comes_before_a_capacity_test_that_speaks_against_a_battery) {
  EXPECT_EQ(letter_after({complete_run(2, "standard charge")}), 'D');
  EXPECT_EQ(letter_after({}), 'U') << "98 % by its voltage may be 90 %";
  EXPECT_EQ(letter_after({}, 90.0), 'U') << "full, it might have been A";
  EXPECT_EQ(letter_after({}, 110.0), 'A') << "a fuller one gives no less";
  const Grade withdrawn = grade(tested_after({}, 50.0), shipped("store_claim"));
  EXPECT_THAT(withdrawn.reason, HasSubstr("nothing shows that it was full"));
  EXPECT_THAT(withdrawn.disposition, HasSubstr("Charge it and test it again"));
  EXPECT_EQ(withdrawn.next_procedure, "standard charge");
}

TEST(FullCharge, is_not_undone_by_rests_and_by_what_states_a_resistance) {
  EXPECT_EQ(letter_after({complete_run(2, "standard charge"), complete_run(3, "intake check"),
                          complete_run(4, "stability rest"), complete_run(5, "internal resistance"),
                          complete_run(6, "resistance by pulses"), complete_run(7, "charge retention")}),
            'D');
}

/// A capacity test that was stopped so long after its start.
Run stopped_after(Second time) {
  Run run = ended(3, "reserve capacity", RunOutcome::stopped);
  run.started_at = Utc(1000);
  run.ended_at = run.started_at + time;
  return run;
}

TEST(FullCharge, is_not_undone_by_a_capacity_test_that_its_clamps_ended_in_its_first_seconds) {
  const auto charged = complete_run(2, "standard charge");
  EXPECT_EQ(letter_after({charged, stopped_after(Second(75.0))}), 'D');
  EXPECT_EQ(letter_after({charged, stopped_after(Second(121.0))}), 'U');
  auto tripped = stopped_after(Second(75.0));
  tripped.outcome = RunOutcome::tripped;
  EXPECT_EQ(letter_after({charged, tripped}), 'U') << "nobody measured what flowed after";
  auto load = stopped_after(Second(75.0));
  load.procedure = "half-CCA load test";
  EXPECT_EQ(letter_after({charged, load}), 'U') << "it draws far more than 25 A";
}

TEST(FullCharge, is_undone_by_whatever_draws_even_if_that_was_stopped) {
  for (const char* draw : {"half-CCA load test", "20-hour capacity", "reserve capacity", "conditioning cycle",
                           "a procedure of this bench"}) {
    EXPECT_EQ(letter_after({complete_run(2, "standard charge"), ended(3, draw, RunOutcome::stopped)}), 'U')
        << draw;
  }
  EXPECT_EQ(letter_after({complete_run(2, "standard charge"), complete_run(3, "half-CCA load test"),
                          complete_run(4, "standard charge")}),
            'D');
}

TEST(FullCharge, is_a_charge_that_went_to_its_end) {
  for (const RunOutcome outcome :
       {RunOutcome::running, RunOutcome::stopped, RunOutcome::tripped, RunOutcome::void_}) {
    EXPECT_EQ(letter_after({ended(2, "standard charge", outcome)}), 'U') << word(outcome);
  }
  EXPECT_EQ(
      letter_after({complete_run(2, "standard charge"), ended(3, "standard charge", RunOutcome::stopped)}),
      'D')
      << "more charge takes nothing away";
  EXPECT_EQ(letter_after({complete_run(2, "three-minute charge")}), 'U');
  for (const char* charge :
       {"recharge before leaving", "conditioning cycle", "recovery of a deep-discharged battery"}) {
    EXPECT_EQ(letter_after({complete_run(2, charge)}), 'D') << charge;
  }
}

TEST(FullCharge, may_be_the_one_that_the_policy_names) {
  Policy own;
  own.procedures.charge = "the charge of this bench";
  const Evidence evidence = tested_after({complete_run(2, "the charge of this bench")}, 50.0);
  EXPECT_EQ(grade(evidence, own).letter, 'D');
  EXPECT_EQ(grade(evidence, Policy{}).letter, 'U');
}

TEST(FullCharge, of_a_later_run_says_nothing_of_the_test_before_it) {
  Evidence evidence = tested_after({}, 50.0);
  evidence.runs.push_back(complete_run(10, "recharge before leaving"));
  EXPECT_EQ(grade(evidence, Policy{}).letter, 'U');
}

TEST(FullCharge, is_asked_of_the_20_hour_capacity_and_of_a_stopped_discharge_too) {
  Evidence by_hours = tested_after({}, 50.0);
  by_hours.nameplate.reserve_capacity.reset();
  by_hours.nameplate.c20 = Rating<Coulomb>{ampere_hours(60.0), RatingStandard::en};
  by_hours.findings.back() = measured(Measurand::capacity_20h_ref, 30.0, 0.5, 9);
  EXPECT_EQ(grade(by_hours, Policy{}).letter, 'U');
  by_hours.runs.insert(by_hours.runs.begin(), complete_run(2, "standard charge"));
  EXPECT_EQ(grade(by_hours, Policy{}).letter, 'D');

  Evidence stopped = tested_after({}, 50.0);
  stopped.findings.back() = measured(Measurand::reserve_capacity_ref_at_least, 90.0, 1.5, 9);
  EXPECT_EQ(grade(stopped, Policy{}).letter, 'U');
  stopped.runs.insert(stopped.runs.begin(), complete_run(2, "standard charge"));
  EXPECT_EQ(grade(stopped, Policy{}).letter, 'B');
}

TEST(FullCharge, is_not_asked_of_a_load_test_which_has_its_own_least_state_of_charge) {
  Evidence evidence = charged_and_rested(-0.5);
  evidence.runs = {complete_run(2, "stability rest"), complete_run(3, "half-CCA load test")};
  evidence.findings[1].value = 0.8;
  EXPECT_EQ(grade(evidence, shipped("store_claim")).letter, 'D');
  evidence.findings[1].value = 0.7;
  EXPECT_EQ(grade(evidence, shipped("store_claim")).letter, 'U');
}

TEST(FullCharge, is_what_a_test_needs_to_count_in_the_mean) {
  Evidence evidence = tested_after({complete_run(8, "standard charge")}, 90.0);
  Finding& newest = evidence.findings.back();
  newest.budget = {{"battery's repeatability", "", 1.2}};
  Finding before = newest;
  before.run = RunId{5};
  before.at = Utc(5000);
  before.value = 87.0;
  evidence.findings.push_back(before);
  EXPECT_THAT(grade(evidence, Policy{}).reason, HasSubstr("90.0 min"));
  evidence.runs.insert(evidence.runs.begin(), complete_run(4, "standard charge"));
  EXPECT_THAT(grade(evidence, Policy{}).reason, HasSubstr("88.5 min"));
}

}  // namespace
}  // namespace leadwright
