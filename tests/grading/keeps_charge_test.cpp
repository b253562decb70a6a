// SPDX-License-Identifier: Apache-2.0
// Rated 100 min, came flat, measured at 90 min and well above the least volts under load; last charged in run
// 6, which ends at day 0. Looks are at so many hours after it.
#include "daemon/grading/keeps_charge.h"

#include <gmock/gmock.h>

#include "daemon/battery/procedure_names.h"
#include "daemon/grading/grade.h"
#include "tests/grading/shipped_policies.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;

const Utc charged_at = Utc(0) + hours(1000.0);

Evidence came_at(double volts) {
  Evidence evidence = charged_and_rested(0.8);
  evidence.findings.front() = measured(Measurand::ocv, volts, 0.01, 1);
  evidence.findings.push_back(measured(Measurand::reserve_capacity_ref, 90.0, 1.5, 5));
  evidence.runs.push_back(complete_run(5, "reserve capacity"));
  evidence.runs.push_back(complete_run(6, "recharge before leaving"));
  evidence.runs.back().ended_at = charged_at;
  return evidence;
}

struct Look {
  double after_h;
  double volts;
  double degc = 20.0;
  const char* meter = "charger 1";
};

void add_look(Evidence& evidence, const Look& look) {
  const int id = static_cast<int>(evidence.runs.size()) + 3;
  evidence.runs.push_back(complete_run(id, std::string(procedure_name::standing)));
  evidence.runs.back().instruments = {{"charging-1.charger", look.meter, "", false}};
  Finding ocv = measured(Measurand::ocv, look.volts, 0.0058, id);
  ocv.budget = {{"voltmeter", "", 0.0058}, {"noise", "", 0.0002}};
  Finding degrees = measured(Measurand::temperature, look.degc, 0.6, id);
  ocv.at = degrees.at = charged_at + hours(look.after_h);
  evidence.findings.push_back(ocv);
  evidence.findings.push_back(degrees);
}

Evidence seen(std::initializer_list<Look> looks) {
  Evidence evidence = came_at(11.9);
  for (const Look& look : looks) add_look(evidence, look);
  return evidence;
}

TEST(KeepsCharge, is_looked_for_where_a_battery_came_flat_and_not_where_it_came_charged) {
  const Policy policy = shipped("store_claim");
  EXPECT_TRUE(is_worth_watching(came_at(11.9), policy));
  EXPECT_FALSE(is_worth_watching(came_at(12.6), policy));
  EXPECT_LT(*chance_of_self_discharge(came_at(12.6), policy),
            *chance_of_self_discharge(came_at(11.9), policy));
}

TEST(KeepsCharge, is_looked_for_only_where_what_a_wrong_verdict_costs_outweighs_the_looks) {
  Policy policy = shipped("store_claim");
  policy.retention->wrong = minutes(100.0);
  EXPECT_FALSE(is_worth_watching(came_at(11.9), policy)) << "2 % of 100 min is less than 10 min";
  policy.retention->costs = minutes(1.0);
  EXPECT_TRUE(is_worth_watching(came_at(11.9), policy));
  EXPECT_FALSE(is_worth_watching(came_at(11.9), shipped("bench"))) << "that policy does not ask";
}

TEST(KeepsCharge, makes_a_letter_wait_until_somebody_has_seen_it_standing) {
  const Policy policy = shipped("store_claim");
  EXPECT_EQ(grade(came_at(12.6), policy).letter, 'B');
  const Grade unwatched = grade(came_at(11.9), policy);
  EXPECT_EQ(unwatched.letter, 'U');
  EXPECT_THAT(unwatched.reason, HasSubstr("nobody saw whether it keeps its charge"));
  EXPECT_EQ(unwatched.next_procedure, "voltage after standing");
  EXPECT_EQ(grade(seen({{25.0, 12.70}, {46.0, 12.70}}), policy).letter, 'B');
}

TEST(KeepsCharge, condemns_what_falls_by_thirty_millivolts_a_day_and_passes_what_falls_by_five) {
  const Policy policy = shipped("store_claim");
  const Grade leaky = grade(seen({{25.0, 12.70}, {49.0, 12.67}}), policy);
  EXPECT_EQ(leaky.letter, 'D');
  EXPECT_THAT(leaky.reason, HasSubstr("falls by 30.0 mV a day: it discharges itself."));
  const Grade sound = grade(seen({{25.0, 12.70}, {49.0, 12.695}}), policy);
  EXPECT_EQ(sound.letter, 'B');
  EXPECT_THAT(sound.reason, HasSubstr("keeps its charge on the shelf."));
}

TEST(KeepsCharge, counts_neither_the_first_day_nor_looks_too_near_to_each_other) {
  const Policy policy = shipped("store_claim");
  EXPECT_FALSE(fall_seen(seen({{2.0, 12.95}, {25.0, 12.70}}), *policy.retention)) << "surface charge";
  EXPECT_FALSE(fall_seen(seen({{25.0, 12.70}, {35.0, 12.69}}), *policy.retention));
  EXPECT_TRUE(fall_seen(seen({{25.0, 12.70}, {45.0, 12.69}}), *policy.retention));
}

TEST(KeepsCharge, looks_from_before_the_last_charge_or_draw_are_none) {
  Evidence evidence = seen({{25.0, 12.70}, {49.0, 12.67}});
  evidence.runs.push_back(complete_run(20, "half-CCA load test"));
  evidence.runs.back().ended_at = charged_at + hours(50.0);
  EXPECT_FALSE(fall_seen(evidence, *shipped("store_claim").retention));
}

TEST(KeepsCharge, asks_for_a_further_look_while_the_guard_band_leaves_it_open_and_then_gives_up) {
  const Policy policy = shipped("store_claim");
  const Evidence near = seen({{25.0, 12.70}, {49.0, 12.684}});
  ASSERT_EQ(next_look_at(near, policy), charged_at + hours(49.0) + policy.retention->stands);
  EXPECT_EQ(grade(near, policy).letter, 'U');
  EXPECT_FALSE(next_look_at(seen({{25.0, 12.70}, {98.0, 12.656}}), policy))
      << "patience ends after three days";
  EXPECT_FALSE(next_look_at(seen({{25.0, 12.70}, {49.0, 12.70}}), policy)) << "decided";
  EXPECT_EQ(next_look_at(seen({}), policy), charged_at + policy.retention->settles);
}

TEST(KeepsCharge, is_decided_by_one_meter_and_hardly_by_two) {
  const Policy policy = shipped("store_claim");
  EXPECT_EQ(grade(seen({{25.0, 12.70}, {49.0, 12.70}}), policy).letter, 'B');
  EXPECT_EQ(grade(seen({{25.0, 12.70}, {49.0, 12.70, 20.0, "charger 2"}}), policy).letter, 'U');
}

TEST(KeepsCharge, of_a_worn_battery_is_nobodys_question) {
  const Policy policy = shipped("store_claim");
  Evidence worn = came_at(11.9);
  for (Finding& finding : worn.findings) {
    if (finding.measurand == Measurand::reserve_capacity_ref) finding.value = 40.0;
  }
  EXPECT_FALSE(stands_until(worn, policy));
  EXPECT_EQ(grade(worn, policy).letter, 'D');
  EXPECT_TRUE(stands_until(came_at(11.9), policy));
}

TEST(KeepsCharge, is_known_from_a_charge_retention_as_well) {
  Evidence evidence = came_at(11.9);
  evidence.runs.push_back(complete_run(9, "charge retention"));
  Finding slope = measured(Measurand::rest_slope, -2.0, 1.0, 9);
  slope.at = charged_at + hours(96.0);
  evidence.findings.push_back(slope);
  EXPECT_EQ(grade(evidence, shipped("store_claim")).letter, 'B');
}

}  // namespace
}  // namespace leadwright
