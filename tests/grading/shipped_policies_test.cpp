// SPDX-License-Identifier: Apache-2.0
// The three shipped policies on invented evidence. Rated 100 min and 640 A; u 1.5 min unless said otherwise.
#include <gmock/gmock.h>

#include <string>

#include "daemon/grading/grade.h"
#include "tests/grading/shipped_policies.h"

namespace leadwright {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

/// A load test passed by 0.5 V in run 3, a charge in run 4; `minutes_` measured in run 5, at 24 degC.
Evidence returned(double minutes_) {
  Evidence evidence = charged_and_rested(0.5);
  evidence.nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  evidence.nameplate.manufactured_on = "2024-01";
  evidence.story.sold_on = "2024-03-02";
  evidence.judged_at = Utc::parse("2026-09-10");
  evidence.findings.push_back(measured(Measurand::reserve_capacity_ref, minutes_, 1.5, 5));
  evidence.runs.push_back(complete_run(5, "reserve capacity"));
  return evidence;
}

Finding& stated(Evidence& evidence, Measurand measurand) {
  for (Finding& finding : evidence.findings)
    if (finding.measurand == measurand) return finding;
  return evidence.findings.front();
}

auto of_its_age() {
  return HasSubstr("It was made 31 months ago, before the 36 to 60 months");
}

void forget(Evidence& evidence, Measurand measurand) {
  std::erase_if(evidence.findings, [=](const Finding& each) { return each.measurand == measurand; });
}

TEST(StoreClaim, honours_a_worn_battery_by_the_months_that_are_left) {
  const Grade worn = grade(returned(50.0), shipped("store_claim"));
  EXPECT_EQ(worn.letter, 'D');
  EXPECT_THAT(worn.disposition, HasSubstr("Honour the claim"));
  EXPECT_EQ(
      worn.warranty,
      "Sold 2024-03-02: 30 months in service, credit of 37.5 % of the price, 18 of 48 months being left.");
  EXPECT_THAT(worn.flags, ElementsAre(of_its_age()));
}

TEST(StoreClaim, pays_nothing_for_a_sound_battery_and_says_what_was_seen_at_cranking_load) {
  const Grade sound = grade(returned(90.0), shipped("store_claim"));
  EXPECT_EQ(sound.letter, 'B');
  EXPECT_THAT(sound.reason, HasSubstr("at cranking load 0.50 V above the least voltage"));
  EXPECT_THAT(sound.warranty, HasSubstr("no credit"));
}

TEST(StoreClaim, gives_no_a_without_a_draw_at_cranking_load_and_names_it_as_next) {
  Evidence evidence = returned(110.0);
  forget(evidence, Measurand::load_margin);
  const Grade capped = grade(evidence, shipped("store_claim"));
  EXPECT_EQ(capped.letter, 'C');
  EXPECT_EQ(capped.next_procedure, "half-CCA load test");
  EXPECT_THAT(capped.reason, HasSubstr("it meets its rating; not tested at cranking load, so C at most."));
}

TEST(StoreClaim, takes_an_extrapolated_load_test_for_none) {
  Evidence evidence = returned(110.0);
  stated(evidence, Measurand::load_margin).method = "estimated for half the CCA as V0 - R I, R from 25.0 A";
  EXPECT_EQ(grade(evidence, shipped("store_claim")).letter, 'C');
  stated(evidence, Measurand::load_margin).value = -1.0;
  EXPECT_EQ(grade(evidence, shipped("store_claim")).letter, 'C') << "an estimate condemns nothing";
}

TEST(StoreClaim, condemns_a_battery_that_falls_at_cranking_load_whatever_its_minutes) {
  Evidence evidence = returned(110.0);
  stated(evidence, Measurand::load_margin).value = -0.3;
  EXPECT_EQ(grade(evidence, shipped("store_claim")).letter, 'D');
}

TEST(StoreClaim, keeps_nothing_in_service_on_a_load_test_within_its_guard_band) {
  for (const double margin : {0.03, -0.03}) {
    Evidence evidence = returned(90.0);
    for (Finding& finding : evidence.findings) {
      if (finding.measurand == Measurand::load_margin) finding.value = margin;
    }
    const Grade near = grade(evidence, shipped("store_claim"));
    EXPECT_EQ(near.letter, 'U') << margin << ": " << near.reason;
    EXPECT_EQ(near.next_procedure, "half-CCA load test");
    EXPECT_THAT(near.reason, HasSubstr("too near to decide"));
  }
}

TEST(StoreClaim, does_not_fail_a_discharged_battery) {
  Evidence evidence = returned(50.0);
  stated(evidence, Measurand::soc).value = 0.5;
  const Grade flat = grade(evidence, shipped("store_claim"));
  EXPECT_EQ(flat.letter, 'U');
  EXPECT_THAT(flat.disposition, HasSubstr("Charge it and test it again"));
  EXPECT_EQ(flat.next_procedure, "standard charge");
}

TEST(StoreClaim, does_not_judge_by_a_test_outside_15_to_35_degrees) {
  Evidence evidence = returned(110.0);
  stated(evidence, Measurand::temperature).value = 41.0;
  const Grade warm = grade(evidence, shipped("store_claim"));
  EXPECT_EQ(warm.letter, 'U');
  EXPECT_THAT(warm.disposition, HasSubstr("cool"));
  stated(evidence, Measurand::temperature).value = 8.0;
  EXPECT_THAT(grade(evidence, shipped("store_claim")).disposition, HasSubstr("warm in the shop"));
}

TEST(StoreClaim, cycles_a_deeply_discharged_battery_once_before_it_fails) {
  Evidence evidence = returned(50.0);
  evidence.findings.insert(evidence.findings.begin(), measured(Measurand::ocv, 10.4, 0.01, 1));
  const Grade before = grade(evidence, shipped("store_claim"));
  EXPECT_EQ(before.letter, 'U');
  EXPECT_EQ(before.next_procedure, "conditioning cycle");
  evidence.runs.insert(evidence.runs.begin(), complete_run(1, "conditioning cycle"));
  EXPECT_EQ(grade(evidence, shipped("store_claim")).letter, 'D');
  Evidence recovered = returned(90.0);
  recovered.findings.push_back(measured(Measurand::ocv, 10.4, 0.01, 1));
  EXPECT_EQ(grade(recovered, shipped("store_claim")).letter, 'B') << "a pass needs no cycle";
}

TEST(StoreClaim, does_not_fail_a_battery_of_ten_days) {
  Evidence evidence = returned(50.0);
  evidence.nameplate.manufactured_on = "2026-08-31";
  evidence.story.sold_on = "2026-09-05";
  const Grade young = grade(evidence, shipped("store_claim"));
  EXPECT_EQ(young.letter, 'U');
  EXPECT_THAT(young.reason, HasSubstr("10 days ago"));
  EXPECT_EQ(grade(returned(50.0), shipped("rebuilder_resale")).letter, 'D');
}

TEST(StoreClaim, pays_nothing_on_a_battery_that_is_not_the_one_of_its_label) {
  Evidence evidence = returned(50.0);
  evidence.faults.push_back({{}, {}, FaultKind::wrong_cell_count, "6.3 V at rest", {}});
  const Grade wrong = grade(evidence, shipped("store_claim"));
  EXPECT_EQ(wrong.letter, 'F');
  EXPECT_THAT(wrong.disposition, HasSubstr("not the battery of its label"));
}

TEST(StoreClaim, gives_an_unidentified_battery_no_verdict) {
  Evidence evidence = returned(50.0);
  evidence.nameplate.chemistry = Chemistry::unknown;
  EXPECT_EQ(grade(evidence, shipped("store_claim")).letter, 'U');
  Evidence unrated = returned(90.0);
  unrated.nameplate.reserve_capacity.reset();
  forget(unrated, Measurand::load_margin);
  const Grade blank = grade(unrated, shipped("store_claim"));
  EXPECT_EQ(blank.letter, 'U');
  EXPECT_THAT(blank.disposition, HasSubstr("Find out what it is"));
}

TEST(StoreClaim, gives_no_letter_on_a_load_test_alone_that_passes_and_asks_for_consent) {
  Evidence evidence = returned(50.0);
  forget(evidence, Measurand::reserve_capacity_ref);
  const Grade loaded = grade(evidence, shipped("store_claim"));
  EXPECT_EQ(loaded.letter, 'U') << "worn plates crank until they are nearly spent";
  EXPECT_THAT(loaded.reason, HasSubstr("its minutes were not measured"));
  EXPECT_THAT(loaded.disposition, HasSubstr("Ask the owner"));
  EXPECT_EQ(loaded.next_procedure, "reserve capacity");
  evidence.nameplate.reserve_capacity.reset();
  EXPECT_EQ(grade(evidence, shipped("store_claim")).letter, 'B') << "nothing to compare minutes with";
  forget(evidence, Measurand::load_margin);
  const Grade nothing = grade(evidence, shipped("store_claim"));
  EXPECT_EQ(nothing.letter, 'U');
  EXPECT_EQ(nothing.next_procedure, "half-CCA load test");
  EXPECT_THAT(nothing.disposition, HasSubstr("Ask the owner"));
}

TEST(StoreClaim, flags_a_receipt_that_was_shown_before_and_a_sale_before_manufacture) {
  Evidence evidence = returned(90.0);
  evidence.story.receipt = "4711";
  evidence.receipt_seen_before = true;
  evidence.story.sold_on = "2023-12-30";
  const Grade odd = grade(evidence, shipped("store_claim"));
  EXPECT_EQ(odd.letter, 'B') << "a flag changes no letter";
  EXPECT_THAT(odd.flags,
              ElementsAre(HasSubstr("Receipt 4711"), HasSubstr("before it was made"), of_its_age()));
  EXPECT_THAT(odd.warranty, HasSubstr("not counted"));
}

TEST(StoreClaim, flags_ratings_that_contradict_each_other_and_a_resistance_off_the_nameplate) {
  Evidence evidence = returned(90.0);
  evidence.nameplate.c20 = Rating<Coulomb>{ampere_hours(30.0), RatingStandard::en};
  evidence.nameplate.cca->value = Ampere(615.0);
  evidence.findings.push_back(measured(Measurand::resistance, 0.020, 1e-4, 3));
  EXPECT_THAT(grade(evidence, shipped("store_claim")).flags,
              ElementsAre(HasSubstr("rate exponent"), HasSubstr("600 and 640 A are"),
                          HasSubstr("more than twice what is usual"),
                          HasSubstr("its grids or straps are corroded"), of_its_age()));
}

TEST(StoreClaim, names_the_test_that_would_decide_and_how_much_it_would_help) {
  Evidence evidence = returned(61.0);
  Finding& test = stated(evidence, Measurand::reserve_capacity_ref);
  test.budget = {{"meters", "", 0.9}, {"battery's repeatability", "", 1.2}};
  const Grade open = grade(evidence, shipped("store_claim"));
  EXPECT_EQ(open.letter, 'U');
  EXPECT_EQ(open.next_procedure, "reserve capacity");
  // C: hypot(0.9, 1.2 / root 2) = 1.24.
  EXPECT_THAT(open.next_why, HasSubstr("from 1.50 to 1.24 min"));
}

TEST(StoreClaim, takes_the_mean_of_tests_that_agree) {
  Evidence evidence = returned(63.0);
  Finding& test = stated(evidence, Measurand::reserve_capacity_ref);
  test.budget = {{"meters", "", 0.9}, {"battery's repeatability", "", 1.2}};
  EXPECT_EQ(grade(evidence, shipped("store_claim")).letter, 'C') << "63.0 is 60 + 2 u";
  Finding second = test;
  second.run = RunId{7};
  evidence.runs.push_back(complete_run(6, "standard charge"));
  second.at = Utc(7000);
  second.value = 62.0;
  evidence.findings.push_back(second);
  const Grade mean = grade(evidence, shipped("store_claim"));
  EXPECT_THAT(mean.reason, HasSubstr("62.5 min"));
  EXPECT_THAT(mean.reason, HasSubstr("mean of 2 tests"));
  evidence.findings.back().value = 50.0;
  EXPECT_THAT(grade(evidence, shipped("store_claim")).reason, HasSubstr("50.0 min")) << "it has changed";
}

TEST(RebuilderResale, finds_a_second_life_for_what_starts_no_engine) {
  const Grade worn = grade(returned(48.0), shipped("rebuilder_resale"));
  EXPECT_EQ(worn.letter, 'D');
  EXPECT_THAT(worn.second_life, HasSubstr("Standby"));
  EXPECT_EQ(grade(returned(30.0), shipped("rebuilder_resale")).second_life, "");
  EXPECT_EQ(worn.warranty, "");
}

TEST(RebuilderResale, compares_ampere_hours_with_ampere_hours_where_both_are_there) {
  Evidence evidence = returned(50.0);
  evidence.nameplate.reserve_capacity.reset();
  evidence.nameplate.c20 = Rating<Coulomb>{ampere_hours(60.0), RatingStandard::en};
  evidence.runs.push_back(complete_run(6, "standard charge"));
  evidence.findings.push_back(measured(Measurand::capacity_20h_ref, 52.0, 0.8, 7));
  evidence.findings.push_back(measured(Measurand::temperature, 24.0, 0.6, 7));
  const Grade by_hours = grade(evidence, shipped("rebuilder_resale"));
  EXPECT_EQ(by_hours.letter, 'B');
  EXPECT_THAT(by_hours.reason, HasSubstr("52.0 Ah of 20-hour capacity"));
}

TEST(RebuilderResale, asks_for_the_20_hour_test_where_the_derived_rating_is_what_is_in_doubt) {
  Evidence evidence = returned(58.0);
  evidence.nameplate.reserve_capacity.reset();
  evidence.nameplate.c20 = Rating<Coulomb>{ampere_hours(60.0), RatingStandard::en};
  const Grade open = grade(evidence, shipped("rebuilder_resale"));
  EXPECT_EQ(open.letter, 'U');
  EXPECT_EQ(open.next_procedure, "20-hour capacity");
}

TEST(NewBattery, is_confirmed_by_a_load_test_without_emptying_it) {
  Evidence evidence = returned(100.0);
  forget(evidence, Measurand::reserve_capacity_ref);
  evidence.nameplate.manufactured_on = "2026-06";
  evidence.story.sold_on.clear();
  const Grade fresh = grade(evidence, shipped("new_battery"));
  EXPECT_EQ(fresh.letter, 'B');
  EXPECT_THAT(fresh.disposition, HasSubstr("Fit it"));
  EXPECT_THAT(fresh.flags, IsEmpty());
}

TEST(NewBattery, of_eight_months_is_flagged_and_of_no_date_as_well) {
  Evidence evidence = returned(110.0);
  evidence.nameplate.manufactured_on = "2025-12";
  evidence.story.sold_on.clear();
  EXPECT_THAT(grade(evidence, shipped("new_battery")).flags, ElementsAre(HasSubstr("8 months ago")));
  evidence.nameplate.manufactured_on.clear();
  EXPECT_THAT(grade(evidence, shipped("new_battery")).flags, ElementsAre(HasSubstr("age is unknown")));
}

TEST(NewBattery, that_is_emptier_than_its_shelf_explains_is_flagged) {
  Evidence evidence = returned(110.0);
  evidence.story.sold_on.clear();
  evidence.nameplate.manufactured_on = "2026-06";
  // C: 0.9 to the power 2 / 3 is 0.93; 0.84 and twice 0.04 is less.
  stated(evidence, Measurand::soc).value = 0.84;
  EXPECT_THAT(grade(evidence, shipped("new_battery")).flags, ElementsAre(HasSubstr("2 months on a shelf")));
  stated(evidence, Measurand::soc).value = 0.87;
  EXPECT_THAT(grade(evidence, shipped("new_battery")).flags, IsEmpty());
}

// F: TM 5-4210-230-14&P-1, table 2: 1.120 at no charge and 1.155 at a quarter freeze at 15 and 5 degF.
TEST(ShippedPolicies, point_out_acid_that_freezes_where_it_may_stand) {
  Evidence evidence = returned(90.0);
  stated(evidence, Measurand::soc).value = 0.0;
  EXPECT_THAT(grade(evidence, shipped("store_claim")).flags,
              ElementsAre(HasSubstr("begins to freeze at about -9 degC"), of_its_age()));
  stated(evidence, Measurand::soc).value = 0.30;
  EXPECT_THAT(grade(evidence, shipped("store_claim")).flags, ElementsAre(of_its_age()));
}

TEST(ShippedPolicies, differ_on_the_same_evidence_and_do_not_share_a_hash) {
  const Grade claim = grade(returned(92.0), shipped("store_claim"));
  const Grade resale = grade(returned(93.0), shipped("rebuilder_resale"));
  EXPECT_EQ(claim.letter, 'B');
  EXPECT_EQ(resale.letter, 'A');
  EXPECT_NE(claim.policy_hash, resale.policy_hash);
}

}  // namespace
}  // namespace leadwright
