// SPDX-License-Identifier: Apache-2.0
// By hand: 12.42 V is 75 % (F, six flooded cells); 60 Ah x 0.25 x 1.10 = 16.5 Ah, 99 min at 10 A.
#include "daemon/battery/fitting.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace leadwright {
namespace {

const Utc today = *Utc::parse("2026-01-20");

FitSide label() {
  FitSide side;
  side.nameplate.chemistry = Chemistry::flooded;
  side.nameplate.cells = 6;
  side.nameplate.cca = {Ampere(540.0), RatingStandard::en};
  side.nameplate.reserve_capacity = {minutes(100.0), RatingStandard::sae};
  side.nameplate.c20 = {ampere_hours(60.0), RatingStandard::unknown};
  side.nameplate.size_code = "X2";
  side.nameplate.manufactured_on = "2025-09";
  side.plus_at = "right";
  side.post = "taper_large";
  return side;
}

FittingQuestion question() {
  FittingQuestion asked{label(), label(), {}, {}, {}};
  asked.reading = MeterReading{Volt(12.66), Celsius(25.0), hours(72.0)};
  asked.charger = Ampere(10.0);
  return asked;
}

FitOutcome outcome(const FitSide& battery, const FitSide& vehicle, FitOf of) {
  const auto rows = fit_rows(battery, vehicle);
  return std::ranges::find(rows, of, &FitRow::of)->outcome;
}

FittingAnswer answer_to(const FittingQuestion& asked) {
  return fitting_answer(asked, {}, today);
}

TEST(FitRows, have_every_point_and_all_fit_where_both_sides_say_the_same) {
  const auto rows = fit_rows(label(), label());
  ASSERT_EQ(rows.size(), 8U);
  for (const FitRow& row : rows) EXPECT_EQ(row.outcome, FitOutcome::fits) << word(row.of);
}

TEST(FitRows, of_what_nobody_stated_are_not_checked_and_never_fit) {
  for (const FitRow& row : fit_rows(label(), FitSide())) {
    EXPECT_EQ(row.outcome, FitOutcome::not_checked) << word(row.of);
  }
  for (const FitRow& row : fit_rows(FitSide(), label())) {
    EXPECT_EQ(row.outcome, FitOutcome::not_checked) << word(row.of);
  }
}

TEST(FitRows, compare_a_rating_only_in_one_known_standard) {
  FitSide other = label();
  other.nameplate.cca = {Ampere(500.0), RatingStandard::sae};
  EXPECT_EQ(outcome(other, label(), FitOf::cca), FitOutcome::other_standard);
  other.nameplate.cca = {Ampere(539.0), RatingStandard::en};
  EXPECT_EQ(outcome(other, label(), FitOf::cca), FitOutcome::less);
  other.nameplate.cca = {Ampere(600.0), RatingStandard::en};
  EXPECT_EQ(outcome(other, label(), FitOf::cca), FitOutcome::fits);
  other.nameplate.c20 = {ampere_hours(59.0), RatingStandard::en};
  EXPECT_EQ(outcome(other, label(), FitOf::c20), FitOutcome::less);
}

TEST(FitRows, let_a_stop_start_battery_be_replaced_upwards_only) {
  const auto pair = [](Chemistry battery, Chemistry vehicle) {
    FitSide has = label();
    FitSide asks = label();
    has.nameplate.chemistry = battery;
    asks.nameplate.chemistry = vehicle;
    return outcome(has, asks, FitOf::chemistry);
  };
  EXPECT_EQ(pair(Chemistry::agm, Chemistry::efb), FitOutcome::fits);
  EXPECT_EQ(pair(Chemistry::efb, Chemistry::agm), FitOutcome::differs);
  EXPECT_EQ(pair(Chemistry::flooded, Chemistry::efb), FitOutcome::differs);
  EXPECT_EQ(pair(Chemistry::efb, Chemistry::flooded), FitOutcome::fits);
  EXPECT_EQ(pair(Chemistry::lead, Chemistry::flooded), FitOutcome::not_checked);
  EXPECT_EQ(pair(Chemistry::flooded, Chemistry::lead), FitOutcome::not_checked);
  EXPECT_EQ(pair(Chemistry::agm, Chemistry::flooded), FitOutcome::not_checked);
  EXPECT_EQ(pair(Chemistry::gel, Chemistry::agm), FitOutcome::differs);
  EXPECT_EQ(pair(Chemistry::lithium, Chemistry::flooded), FitOutcome::not_lead);
}

TEST(Fitting, of_a_rested_full_battery_may_begin) {
  const FittingAnswer answer = answer_to(question());
  EXPECT_EQ(answer.verdict, FittingVerdict::may_be_fitted);
  EXPECT_EQ(answer.months, 3);
  EXPECT_EQ(answer.made, "2025-09");
  EXPECT_FALSE(answer.is_old);
  ASSERT_TRUE(answer.soc);
  EXPECT_GT(answer.soc->value, 0.95);
}

TEST(Fitting, of_a_half_empty_battery_waits_for_ampere_hours_and_minutes) {
  FittingQuestion asked = question();
  asked.reading->volts = Volt(12.41);
  const FittingAnswer answer = answer_to(asked);
  EXPECT_EQ(answer.verdict, FittingVerdict::charge_first);
  ASSERT_TRUE(answer.needed && answer.charging);
  EXPECT_NEAR(answer.needed->value, 16.9, 0.8);
  EXPECT_GT(answer.needed->u, 1.0);
  EXPECT_NEAR(as_minutes(*answer.charging), 6.0 * answer.needed->value, 0.01);
}

TEST(Fitting, believes_no_voltage_of_a_battery_that_did_not_rest) {
  FittingQuestion asked = question();
  asked.reading->stood = hours(7.9);
  EXPECT_EQ(answer_to(asked).verdict, FittingVerdict::rest_first);
  EXPECT_FALSE(answer_to(asked).soc);
  asked.reading->stood.reset();
  EXPECT_EQ(answer_to(asked).verdict, FittingVerdict::rest_first);
  asked.reading.reset();
  EXPECT_EQ(answer_to(asked).verdict, FittingVerdict::measure_first);
}

TEST(Fitting, takes_what_a_place_measured_before_a_reading) {
  FittingQuestion asked = question();
  Finding soc;
  soc.measurand = Measurand::soc;
  soc.value = 0.5;
  soc.u = 0.05;
  asked.soc = soc;
  EXPECT_EQ(answer_to(asked).verdict, FittingVerdict::charge_first);
  EXPECT_EQ(answer_to(asked).soc->value, 0.5);
}

TEST(Fitting, is_refused_where_one_point_differs_however_full_it_is) {
  FittingQuestion asked = question();
  asked.battery.plus_at = "left";
  EXPECT_EQ(answer_to(asked).verdict, FittingVerdict::do_not_fit);
}

TEST(Fitting, asks_for_a_test_where_a_cell_may_be_missing_or_it_may_not_be_lead) {
  FittingQuestion asked = question();
  asked.reading->volts = Volt(10.6);
  EXPECT_EQ(answer_to(asked).verdict, FittingVerdict::test_first);
  EXPECT_FALSE(answer_to(asked).needed);
  asked.reading->volts = Volt(13.5);
  EXPECT_EQ(answer_to(asked).verdict, FittingVerdict::test_first);
}

TEST(Fitting, tells_an_old_battery_and_one_of_unknown_age) {
  FittingQuestion asked = question();
  asked.battery.nameplate.manufactured_on = "2025-06-20";
  EXPECT_EQ(answer_to(asked).months, 7);
  EXPECT_TRUE(answer_to(asked).is_old);
  asked.battery.nameplate.manufactured_on = "";
  EXPECT_FALSE(answer_to(asked).months);
  asked.battery.nameplate.manufactured_on = "2026-03";
  EXPECT_FALSE(answer_to(asked).months) << "made in the future";
}

TEST(AfterFitting, is_told_by_what_the_vehicle_shows) {
  const FittingAnswer before = answer_to(question());
  AfterFitting after{hours(24.0), 0.80, Volt(14.2), Ampere(0.03)};
  AfterAnswer told = after_answer(after, label().nameplate, before);
  EXPECT_EQ(told.monitor, MonitorSays::took_it);
  EXPECT_EQ(told.running, RunningSays::usual);
  EXPECT_EQ(told.drain, DrainSays::usual);
  EXPECT_NEAR(told.half_empty->si() / 86400.0, 30.0 / 0.03 / 24.0, 1e-6);
  EXPECT_NEAR(*told.soc_apart, 0.80 - before.soc->value, 1e-12);
  after = {hours(21600.0), {}, Volt(12.6), Ampere(0.4)};
  told = after_answer(after, label().nameplate, before);
  EXPECT_EQ(told.monitor, MonitorSays::keeps_the_old);
  EXPECT_EQ(told.running, RunningSays::low);
  EXPECT_EQ(told.drain, DrainSays::high);
  EXPECT_FALSE(told.soc_apart);
  EXPECT_EQ(after_answer({{}, {}, Volt(15.6), {}}, label().nameplate, before).running, RunningSays::high);
  EXPECT_FALSE(after_answer({}, label().nameplate, before).monitor);
}

}  // namespace
}  // namespace leadwright
