// SPDX-License-Identifier: Apache-2.0
// A handful of returns from the counter to the counter, through the whole daemon.
#include "tools/returns/rehearsal.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "tools/returns/summary.h"

namespace leadwright {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

class Rehearsal : public testing::Test {
 protected:
  void SetUp() override {
    auto mix = load_returns_mix(LEADWRIGHT_SOURCE_DIR "/config/returns.toml");
    ASSERT_TRUE(mix) << mix.error().front().line();
    options.mix = std::move(*mix);
    options.config_folder = LEADWRIGHT_SOURCE_DIR "/config";
    options.policy_file = options.config_folder + "/policies/bench.toml";
    options.seed = 1;
    options.full_sequence = false;
  }
  /// Nothing else comes in.
  void only(const std::string& kind) {
    std::erase_if(options.mix.kinds, [&kind](const BatteryKind& each) { return each.name != kind; });
    ASSERT_EQ(options.mix.kinds.size(), 1U);
  }
  BatteryKind& kind() { return options.mix.kinds.front(); }
  RehearsedReturn rehearsed(int number = 0) {
    auto one = rehearse_return(options, number);
    if (!one) {
      ADD_FAILURE() << one.error().front().line();
      return {};
    }
    return std::move(*one);
  }
  ReturnsOptions options;
  const AcceptanceLine line{'C', 0.6};
};

TEST_F(Rehearsal, a_battery_that_is_only_discharged_is_charged_measured_recharged_and_handed_back) {
  only("discharged only");
  const RehearsedReturn one = rehearsed();
  EXPECT_EQ(verdict_of(one.visit, line), Verdict::accepted);
  ASSERT_TRUE(one.visit.left);
  EXPECT_TRUE(one.visit.unfinished.empty()) << one.visit.unfinished;
  EXPECT_THAT(one.visit.runs, Contains("standard charge"));
  EXPECT_EQ(one.visit.runs.back(), "recharge before leaving");
  ASSERT_TRUE(one.visit.minutes);
  const double on_that_day = one.one.of_its_mean * as_minutes(one.truth.minutes);
  EXPECT_NEAR(one.visit.minutes->value, on_that_day, 0.06 * as_minutes(one.one.rated));
  EXPECT_GT(one.visit.drawn, Joule(0.0));
  EXPECT_GT(one.visit.charged, one.visit.drawn) << "it came in empty";
  EXPECT_LE(*one.visit.decided, *one.visit.left);
}

TEST_F(Rehearsal, hours_at_places_hold_the_runs_there_and_people_need_minutes) {
  only("discharged only");
  const RehearsedReturn one = rehearsed();
  EXPECT_GE(one.visit.stayed(PlaceKind::bay), one.visit.bay_runs);
  EXPECT_GE(one.visit.stayed(PlaceKind::charging), one.visit.charging_runs);
  EXPECT_GT(one.visit.bay_runs, one.truth.minutes * 0.5);
  EXPECT_GT(one.visit.hands_on, options.mix.people.ticket + options.mix.people.close);
  EXPECT_LT(one.visit.hands_on, hours(1.0));
  Second before;
  for (const Stay& stay : one.visit.stays) {
    EXPECT_GE(stay.from, before);
    before = stay.to;
  }
}

TEST_F(Rehearsal, the_full_sequence_of_the_same_battery_keeps_one_bay_for_all_of_it) {
  only("discharged only");
  options.full_sequence = true;
  const RehearsedReturn one = rehearsed();
  ASSERT_TRUE(one.full);
  EXPECT_THAT(one.full->runs, ElementsAre("intake check", "standard charge", "stability rest",
                                          "reserve capacity", "recharge before leaving"));
  EXPECT_EQ(one.full->stays.size(), 1U);
  EXPECT_GT(one.full->stayed(PlaceKind::bay), one.visit.stayed(PlaceKind::bay) * 4.0);
}

TEST_F(Rehearsal, a_shorted_cell_is_rejected_at_once_and_never_charged) {
  only("shorted cell");
  const RehearsedReturn one = rehearsed();
  EXPECT_FALSE(one.truth.is_good(0.6));
  EXPECT_EQ(verdict_of(one.visit, line), Verdict::rejected);
  EXPECT_THAT(one.visit.runs, Not(Contains(HasSubstr("charge"))));
  EXPECT_LT(one.visit.charged, Joule(10.0)) << "noise of the meters with nothing on";
}

TEST_F(Rehearsal, a_cracked_case_never_sees_a_place) {
  only("cracked case");
  const RehearsedReturn one = rehearsed();
  EXPECT_EQ(verdict_of(one.visit, line), Verdict::rejected);
  EXPECT_TRUE(one.visit.stays.empty());
  EXPECT_TRUE(one.visit.runs.empty());
  ASSERT_TRUE(one.visit.left);
  EXPECT_LT(*one.visit.left, hours(24.0));
}

TEST_F(Rehearsal, nobody_does_anything_while_the_shop_is_closed) {
  only("discharged only");
  options.mix.people.opens = hours(8.0);
  options.mix.people.closes = hours(9.0);
  const RehearsedReturn one = rehearsed();
  const Second grace = minutes(10.0);  // who has begun an act ends it
  for (const Stay& stay : one.visit.stays) {
    const double hour = std::fmod(as_hours(one.one.arrives + stay.from), 24.0);
    EXPECT_GE(hour, 8.0);
    EXPECT_LE(hour, 9.0 + as_hours(grace));
  }
  ASSERT_TRUE(one.visit.left);
  EXPECT_GT(*one.visit.left, hours(24.0)) << "not to be done in the hour that it is open";
}

TEST_F(Rehearsal, at_the_time_cap_it_is_undecided_with_the_reason) {
  only("discharged only");
  options.mix.people.time_cap = hours(3.0);
  const RehearsedReturn one = rehearsed();
  EXPECT_EQ(verdict_of(one.visit, line), Verdict::undecided);
  EXPECT_THAT(one.visit.unfinished, HasSubstr("time cap"));
  EXPECT_FALSE(one.visit.left);
}

TEST_F(Rehearsal, an_owner_who_agrees_gets_minutes_where_a_claim_may_empty_the_battery_with_consent) {
  only("sound");
  options.policy_file = options.config_folder + "/policies/store_claim.toml";
  options.mix.label.states_cca = 1.0;
  options.mix.people.owner_agrees = 1.0;
  EXPECT_TRUE(rehearsed().visit.minutes);
  options.mix.people.owner_agrees = 0.0;
  const RehearsedReturn refused = rehearsed();
  EXPECT_FALSE(refused.visit.minutes);
  EXPECT_THAT(refused.visit.runs, Contains(StartsWith("half-CCA load test")));
}

TEST_F(Rehearsal,
       what_came_flat_and_discharges_itself_is_found_on_its_shelf_and_what_came_flat_alone_is_not) {
  options.policy_file = options.config_folder + "/policies/rebuilder_resale.toml";
  options.mix.people.time_cap = hours(200.0);
  options.mix.label.states_cca = 1.0;
  only("high self-discharge");
  kind().wear = {1.0, 1.0};
  kind().charged = {0.3, 0.3};
  const RehearsedReturn leaky = rehearsed();
  EXPECT_EQ(verdict_of(leaky.visit, line), Verdict::rejected) << leaky.visit.grade->reason;
  EXPECT_THAT(leaky.visit.grade->reason, HasSubstr("discharges itself"));
  kind().fault = CellFault::none;
  kind().faulty_cells = 0;
  const RehearsedReturn flat = rehearsed();
  EXPECT_EQ(verdict_of(flat.visit, line), Verdict::accepted) << flat.visit.grade->reason;
  EXPECT_THAT(flat.visit.runs, Contains("voltage after standing").Times(2));
  EXPECT_LT(flat.visit.stayed(PlaceKind::bay), hours(12.0)) << "it stands on a shelf";
}

TEST_F(Rehearsal, a_corroded_joint_that_the_load_itself_cuts_off_is_rejected_once_the_clamps_were_reseated) {
  options.policy_file = options.config_folder + "/policies/store_claim.toml";
  options.mix.label.states_cca = 1.0;
  only("corroded joint");
  const RehearsedReturn one = rehearsed();
  EXPECT_EQ(verdict_of(one.visit, line), Verdict::rejected) << one.visit.unfinished;
}

TEST_F(Rehearsal, a_clamp_that_would_take_minutes_or_volts_costs_a_sound_battery_nothing) {
  options.policy_file = options.config_folder + "/policies/store_claim.toml";
  options.mix.label.states_cca = 1.0;
  options.mix.people.owner_agrees = 1.0;
  only("sound");
  for (const double mohm : {5.0, 60.0}) {
    kind().clamp_mohm = MixSpan{mohm, mohm + 0.1};
    const RehearsedReturn one = rehearsed();
    EXPECT_EQ(verdict_of(one.visit, line), Verdict::accepted) << one.visit.grade->reason;
    ASSERT_TRUE(one.visit.minutes);
    EXPECT_GT(one.visit.minutes->value, 0.9 * as_minutes(one.truth.minutes)) << mohm;
  }
}

TEST_F(Rehearsal, a_label_without_a_cranking_current_is_load_tested_by_its_ampere_hours) {
  only("sound");
  options.policy_file = options.config_folder + "/policies/new_battery.toml";
  options.mix.label.states_cca = 0.0;
  const RehearsedReturn one = rehearsed();
  EXPECT_EQ(verdict_of(one.visit, line), Verdict::accepted) << one.visit.grade->reason;
  EXPECT_THAT(one.visit.grade->reason, HasSubstr("at 15 s under 3 A for each Ah"));
  EXPECT_LT(one.visit.acts, 20);
  EXPECT_TRUE(one.visit.left);
}

TEST_F(Rehearsal, a_label_that_the_counter_does_not_take_ends_the_visit_with_its_reason) {
  only("sound");
  // Fewer minutes than any starter battery has on its label.
  for (BatterySize& size : options.mix.sizes) size.as_new = minutes(2.0);
  const RehearsedReturn one = rehearsed();
  EXPECT_EQ(verdict_of(one.visit, line), Verdict::undecided);
  EXPECT_FALSE(one.visit.unfinished.empty());
  EXPECT_TRUE(one.visit.runs.empty());
}

}  // namespace
}  // namespace leadwright
