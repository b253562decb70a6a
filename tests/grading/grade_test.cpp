// SPDX-License-Identifier: Apache-2.0
// Rated 100 min, shares 1.0, 0.8, 0.6, guard factor 2 and u 2 min: conforms from 104, 84, 64 min; does not
// conform to C up to 56 min.
#include "daemon/grading/grade.h"

#include <gtest/gtest.h>

#include <limits>

#include "tests/grading/shipped_policies.h"

namespace leadwright {
namespace {

Policy policy() {
  Policy policy;
  policy.name = "test policy";
  policy.version = 3;
  policy.hash = "abc";
  policy.guard_factor = 2.0;
  policy.dispositions = {{'A', "keep"}, {'B', "keep it"}, {'D', "recycle"}, {'U', "again"}};
  return policy;
}

Finding finding(Measurand measurand, double value, double u, std::int64_t at, std::int64_t run) {
  Finding finding;
  finding.measurand = measurand;
  finding.value = value;
  finding.u = u;
  finding.at = Utc(at);
  finding.run = RunId{run};
  return finding;
}

/// Full when run 5 began.
Evidence evidence(double value) {
  Evidence evidence;
  evidence.runs.push_back(complete_run(2, "standard charge"));
  evidence.nameplate.chemistry = Chemistry::flooded;
  evidence.nameplate.cells = 6;
  evidence.nameplate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::sae};
  evidence.findings.push_back(finding(Measurand::reserve_capacity_ref, value, 2.0, 1000, 5));
  return evidence;
}

char letter(const Evidence& given) {
  return grade(given, policy()).letter;
}

TEST(Grade, follows_the_table_of_guarded_limits) {
  const std::pair<double, char> table[] = {{110.0, 'A'}, {104.0, 'A'}, {103.9, 'B'}, {100.0, 'B'},
                                           {84.0, 'B'},  {83.9, 'C'},  {64.0, 'C'},  {63.9, 'U'},
                                           {60.0, 'U'},  {56.1, 'U'},  {56.0, 'D'},  {20.0, 'D'}};
  for (const auto& [value, expected] : table) EXPECT_EQ(letter(evidence(value)), expected) << value;
}

TEST(Grade, says_value_uncertainty_rating_and_what_was_not_tested) {
  const Grade good = grade(evidence(90.0), policy());
  EXPECT_EQ(good.reason,
            "Gives 90.0 min of reserve capacity (+- 4.0 min, k = 2) against the rated 100 min: sound; not "
            "tested at "
            "cranking load.");
  EXPECT_EQ(good.policy, "test policy 3");
  EXPECT_EQ(good.policy_hash, "abc");
  EXPECT_EQ(good.disposition, "keep it");
  ASSERT_EQ(good.rules.size(), 2U);
  EXPECT_NE(good.rules[0].text.find("does not conform"), std::string::npos) << good.rules[0].text;
  EXPECT_NE(good.rules[1].text.find("limit of B: 80.0 min"), std::string::npos) << good.rules[1].text;
  EXPECT_NE(good.rules[1].text.find("conforms"), std::string::npos);
}

TEST(Grade, is_faulty_by_any_fault_with_its_evidence) {
  Evidence given = evidence(110.0);
  Fault fault;
  fault.kind = FaultKind::shorted_cell;
  fault.evidence = "10.55 V open circuit";
  given.faults.push_back(fault);
  const Grade faulty = grade(given, policy());
  EXPECT_EQ(faulty.letter, 'F');
  EXPECT_EQ(faulty.reason, "Faulty: a cell is shorted (10.55 V open circuit).");
}

TEST(Grade, is_faulty_by_an_unsafe_inspection) {
  for (bool Inspection::*seen :
       {&Inspection::cracked, &Inspection::leaking, &Inspection::swollen, &Inspection::frozen}) {
    Evidence given = evidence(110.0);
    given.inspection.*seen = true;
    EXPECT_EQ(letter(given), 'F');
  }
  Evidence given = evidence(110.0);
  given.inspection.terminals_damaged = true;
  EXPECT_EQ(letter(given), 'A');
}

TEST(Grade, is_undecided_without_a_test_and_says_why) {
  Evidence given = evidence(110.0);
  given.findings.clear();
  EXPECT_EQ(letter(given), 'U');
  given.findings.push_back(finding(Measurand::reserve_capacity, 110.0, 1.0, 1000, 5));
  const Grade uncorrected = grade(given, policy());
  EXPECT_EQ(uncorrected.letter, 'U');
  EXPECT_NE(uncorrected.reason.find("temperature"), std::string::npos);
}

// Shared domain notes, section 1: RC 120 min is 73.52 Ah by the root formula (M).
TEST(Grade, takes_its_criterion_from_the_20_hour_capacity_with_more_uncertainty) {
  Evidence given = evidence(150.0);
  given.nameplate.reserve_capacity.reset();
  given.nameplate.c20 = Rating<Coulomb>{ampere_hours(73.52), RatingStandard::en};
  const Grade wide = grade(given, policy());
  EXPECT_EQ(wide.letter, 'A');
  EXPECT_NE(wide.reason.find("about 120 min derived from the rated 74 Ah"), std::string::npos) << wide.reason;
  given.findings[0].value = 125.0;
  EXPECT_EQ(letter(given), 'B') << "125 min of 120 would be A with u 2 min alone";
}

TEST(Grade, is_undecided_without_any_rating_to_compare_with) {
  Evidence given = evidence(150.0);
  given.nameplate.reserve_capacity.reset();
  EXPECT_EQ(letter(given), 'U');
}

TEST(Grade, counts_the_newest_value) {
  Evidence given = evidence(110.0);
  given.findings.insert(given.findings.begin(), finding(Measurand::reserve_capacity_ref, 30.0, 2.0, 2000, 9));
  EXPECT_EQ(letter(given), 'D');
  given.findings.push_back(finding(Measurand::reserve_capacity_ref, 90.0, 2.0, 2000, 10));
  EXPECT_EQ(letter(given), 'B');
}

TEST(Grade, never_condemns_a_battery_that_was_tested_discharged) {
  Evidence given = evidence(50.0);
  given.findings.push_back(finding(Measurand::soc, 0.5, 0.07, 500, 4));
  const Grade undecided = grade(given, policy());
  EXPECT_EQ(undecided.letter, 'U');
  EXPECT_NE(undecided.reason.find("50 % charged"), std::string::npos) << undecided.reason;
}

TEST(Grade, believes_the_test_again_after_a_charge) {
  Evidence given = evidence(50.0);
  given.findings.push_back(finding(Measurand::soc, 0.5, 0.07, 500, 3));
  given.findings.push_back(finding(Measurand::returned, 40.0, 0.1, 800, 4));
  EXPECT_EQ(letter(given), 'D');
}

TEST(Grade, ignores_a_state_of_charge_from_after_the_test) {
  Evidence given = evidence(50.0);
  given.findings.push_back(finding(Measurand::soc, 0.1, 0.07, 1500, 6));
  EXPECT_EQ(letter(given), 'D');
}

TEST(Grade, gives_no_a_or_b_where_the_policy_asks_for_a_high_rate_draw) {
  Policy strict = policy();
  strict.high_rate_draw_required = true;
  EXPECT_EQ(grade(evidence(110.0), strict).letter, 'C');
  EXPECT_EQ(grade(evidence(50.0), strict).letter, 'D');
}

TEST(Grade, decides_nothing_from_a_value_that_is_not_a_number) {
  EXPECT_EQ(letter(evidence(std::numeric_limits<double>::quiet_NaN())), 'U');
}

TEST(Grade, is_the_same_for_the_same_evidence) {
  const Grade one = grade(evidence(63.0), policy());
  const Grade two = grade(evidence(63.0), policy());
  EXPECT_EQ(one.letter, two.letter);
  EXPECT_EQ(one.reason, two.reason);
  ASSERT_EQ(one.rules.size(), two.rules.size());
  for (std::size_t i = 0; i < one.rules.size(); ++i) EXPECT_EQ(one.rules[i].text, two.rules[i].text);
}

Evidence stopped_at(double lasted, std::optional<double> foretold = {}) {
  Evidence stopped = evidence(0.0);
  stopped.findings.clear();
  stopped.findings.push_back(finding(Measurand::reserve_capacity_ref_at_least, lasted, 2.0, 1000, 5));
  if (foretold)
    stopped.findings.push_back(finding(Measurand::reserve_capacity_ref_forecast, *foretold, 5.0, 1000, 5));
  return stopped;
}

TEST(Grade, of_a_discharge_stopped_beyond_the_limit_says_at_least) {
  const Grade given = grade(stopped_at(105.0), policy());
  EXPECT_EQ(given.letter, 'A');
  EXPECT_EQ(given.reason,
            "Gives at least 105 min of reserve capacity, where it was stopped, against the rated 100 min: it "
            "meets its rating; not tested at cranking load.");
  EXPECT_EQ(grade(stopped_at(86.0), policy()).letter, 'B');
}

TEST(Grade, of_a_discharge_stopped_too_early_is_undecided_and_never_worn) {
  const Grade given = grade(stopped_at(30.0), policy());
  EXPECT_EQ(given.letter, 'U');
  EXPECT_EQ(given.next_procedure, "reserve capacity") << "the whole discharge decides";
  EXPECT_NE(given.reason.find("too early to decide"), std::string::npos) << given.reason;
}

TEST(Grade, by_forecast_is_given_where_the_policy_allows_it_and_says_that_nobody_measured) {
  Policy allows = policy();
  allows.early_missed = true;
  const Grade given = grade(stopped_at(20.0, 40.0), allows);
  EXPECT_EQ(given.letter, 'D');
  EXPECT_NE(given.reason.find("not by measurement"), std::string::npos) << given.reason;
  EXPECT_EQ(grade(stopped_at(20.0, 40.0), policy()).letter, 'U');
  EXPECT_EQ(grade(stopped_at(20.0, 55.0), allows).letter, 'U');
  EXPECT_EQ(grade(stopped_at(20.0, 150.0), allows).letter, 'U');
}

TEST(Grade, by_forecast_is_never_given_to_a_battery_that_was_not_charged) {
  Policy allows = policy();
  allows.early_missed = true;
  Evidence flat = stopped_at(20.0, 40.0);
  flat.findings.push_back(finding(Measurand::soc, 0.6, 0.1, 900, 4));
  EXPECT_EQ(grade(flat, allows).letter, 'U');
}

TEST(Grade, of_a_whole_discharge_ignores_what_an_earlier_one_was_stopped_at) {
  Evidence twice = evidence(90.0);
  twice.findings.push_back(finding(Measurand::reserve_capacity_ref_at_least, 105.0, 2.0, 900, 4));
  EXPECT_EQ(grade(twice, policy()).letter, 'B');
}

}  // namespace
}  // namespace leadwright
