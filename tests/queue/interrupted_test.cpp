// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/interrupted.h"

#include <gmock/gmock.h>

namespace leadwright {
namespace {

using testing::HasSubstr;

class Interrupted : public testing::Test {
 protected:
  Interrupted() {
    procedure.hash = run.procedure_hash = "hash";
    procedure.resumes = true;
    procedure.steps.resize(2);
    procedure.steps[0].kind = StepKind::rest;
    procedure.steps[1].kind = StepKind::charge;
    stored.journal.at = Utc(1'000'000'000'000);
    stored.journal.bench_at = Instant(500'000'000'000);
    stored.journal.step = 1;
    stored.journal.backs = {0, 0};
    stored.journal.own = {{}};
    stored.samples.resize(3);
    stored.journal.samples = 3;
    stored.journal.rested = Volt(12.0);
    stored.journal.volts = Volt(13.4);
    stored.journal.spans = {{0, "rest", 0, 1, {}, {}, "time"}, {1, "charge", 1, 3, {}, {}, ""}};
  }
  std::string why(Second calendar, Second clock) const {
    return why_void(run, &procedure, &stored, {stored.journal.at + calendar, stored.journal.bench_at + clock})
        .text();
  }
  std::string why() const { return why(Second(5.0), Second(5.0)); }
  leadwright::Run run;
  Procedure procedure;
  StoredJournal stored;
};

TEST_F(Interrupted, goes_on_by_the_rule_of_its_procedure) {
  EXPECT_EQ(why(), "");
  procedure.resumes = false;
  EXPECT_THAT(why(), HasSubstr("its samples stay as evidence"));
}

TEST_F(Interrupted, a_gap_is_what_calendar_or_clock_says_whichever_is_more) {
  EXPECT_EQ(
      time_since(stored.journal, {stored.journal.at + Second(5.0), stored.journal.bench_at + Second(6.0)}),
      Second(6.0));
  EXPECT_EQ(why(minutes(14.0), minutes(14.0)), "");
  EXPECT_THAT(why(minutes(16.0), minutes(16.0)), HasSubstr("longer than the 15 min"));
}

TEST_F(Interrupted, where_calendar_and_clock_disagree_nobody_knows_how_long_ago_and_it_is_void) {
  for (const auto& [calendar, clock, what] :
       {std::tuple{minutes(10.0), minutes(1.0), "date set forward"},
        std::tuple{minutes(1.0), minutes(10.0), "date set back"},
        std::tuple{Second(20.0), Second(-400.0), "machine started anew, its date restored from a file"},
        std::tuple{Second(-1.0), Second(0.0), "a journal of the future"}}) {
    EXPECT_THAT(why(calendar, clock), HasSubstr("nobody knows how long ago")) << what;
  }
}

TEST_F(Interrupted, a_draw_and_pulses_are_void_whatever_the_rule) {
  for (const StepKind kind : {StepKind::draw, StepKind::pulse}) {
    procedure.steps[1].kind = kind;
    EXPECT_NE(why(), "");
  }
}

TEST_F(Interrupted, what_does_not_fit_together_is_void) {
  stored.samples.resize(4);
  EXPECT_THAT(why(), HasSubstr("does not fit"));
  stored.samples.resize(3);
  stored.journal.step = 0;
  EXPECT_THAT(why(), HasSubstr("does not fit"));
  stored.journal.step = 7;
  EXPECT_THAT(why(), HasSubstr("does not fit"));
  stored.journal.step = 1;
  stored.journal.spans.back().last = 9;
  EXPECT_THAT(why(), HasSubstr("does not fit"));
}

TEST_F(Interrupted, a_battery_of_which_no_voltage_is_known_makes_it_void) {
  stored.journal.volts.reset();
  EXPECT_EQ(why(), "");
  stored.journal.rested.reset();
  EXPECT_THAT(why(), HasSubstr("nothing is known of the voltage"));
}

TEST_F(Interrupted, a_changed_or_missing_procedure_and_a_lost_journal_make_it_void) {
  EXPECT_THAT(why_void(run, nullptr, &stored, {stored.journal.at, stored.journal.bench_at}).text(),
              HasSubstr("no longer there"));
  EXPECT_FALSE(why_void(run, &procedure, nullptr, {stored.journal.at, stored.journal.bench_at}).empty());
  procedure.hash = "other";
  EXPECT_THAT(why(), HasSubstr("was changed"));
}

TEST_F(Interrupted, a_fault_that_it_found_or_the_fourth_interruption_makes_it_void) {
  stored.journal.interruptions = interruptions_max;
  EXPECT_THAT(why(), HasSubstr("interrupted 3 times before"));
  stored.journal.interruptions = 0;
  stored.journal.faults.resize(1);
  EXPECT_THAT(why(), HasSubstr("found a fault"));
}

TEST_F(Interrupted, after_a_charge_the_battery_stands_between_its_rest_and_the_charge) {
  stored.journal.step_charge = ampere_hours(-30.0);
  Nameplate nameplate;
  nameplate.cells = 6;
  nameplate.c20 = Rating<Coulomb>{ampere_hours(60.0), {}};
  const auto expected = expected_after(stored.journal, StepKind::charge, nameplate);
  EXPECT_NEAR((expected.volts - expected.below_max).si(), 12.12, 1e-9)
      << "half of what half a charge lifts it by, less 0.12 V";
  EXPECT_NEAR((expected.volts + expected.above_max).si(), 13.52, 1e-9);
  stored.journal.volts.reset();
  stored.journal.step_charge = Coulomb(0.0);
  const auto by_rest = expected_after(stored.journal, StepKind::charge, nameplate);
  EXPECT_EQ(by_rest.volts, Volt(12.0)) << "killed before its first sample";
  EXPECT_LT(by_rest.below_max, Volt(0.2));
}

TEST_F(Interrupted, a_rest_is_compared_closely_only_with_a_sample_of_its_own) {
  Nameplate nameplate;
  nameplate.cells = 6;
  const auto own = expected_after(stored.journal, StepKind::rest, nameplate);
  EXPECT_LT(own.below_max + own.above_max, Volt(0.5));
  stored.journal.spans.back().first = stored.journal.samples;
  const auto of_the_step_before = expected_after(stored.journal, StepKind::rest, nameplate);
  EXPECT_GT(of_the_step_before.below_max, Volt(1.5));
}

TEST(MayBeAnother, where_the_volts_tell_nothing_and_there_was_time_to_exchange_it) {
  const ExpectedVolts wide{Volt(14.2), Volt(2.3), Volt(0.12)};
  const ExpectedVolts narrow{Volt(12.6), Volt(0.3), Volt(0.15)};
  EXPECT_TRUE(may_be_another(wide, Second(61.0)));
  EXPECT_FALSE(may_be_another(wide, Second(59.0)));
  EXPECT_FALSE(may_be_another(narrow, minutes(10.0)));
}

}  // namespace
}  // namespace leadwright
