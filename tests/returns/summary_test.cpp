// SPDX-License-Identifier: Apache-2.0
// What is counted of made-up visits.
#include "tools/returns/summary.h"

#include <gtest/gtest.h>

#include "tools/returns/report.h"

namespace leadwright {
namespace {

Truth truth_at(double share) {
  Truth truth;
  truth.share = share;
  truth.load_margin = Volt(1.0);
  return truth;
}

RehearsedReturn graded(char letter, double share, const char* kind = "worn") {
  RehearsedReturn one;
  one.one.kind = kind;
  one.one.arrives = hours(9.0);
  one.truth = truth_at(share);
  if (letter != ' ') {
    one.visit.grade.emplace();
    one.visit.grade->letter = letter;
    one.visit.decided = hours(6.0);
    one.visit.left = hours(20.0);
  }
  one.visit.hands_on = minutes(10.0);
  one.visit.stays = {{PlaceKind::bay, hours(0.0), hours(2.0)},
                     {PlaceKind::charging, hours(2.0), hours(12.0)}};
  one.visit.bay_runs = hours(1.5);
  return one;
}

ReturnsMix shop() {
  ReturnsMix mix;
  mix.people.opens = hours(8.0);
  mix.people.closes = hours(18.0);
  return mix;
}

Summary of(const std::vector<RehearsedReturn>& all, char from = 'C') {
  return summarise(all, Policy{}, from, shop());
}

TEST(Verdict, is_undecided_without_a_letter_and_follows_the_poorest_one_that_is_accepted) {
  const AcceptanceLine from_c{'C', 0.6};
  EXPECT_EQ(verdict_of(graded('C', 1.0).visit, from_c), Verdict::accepted);
  EXPECT_EQ(verdict_of(graded('D', 1.0).visit, from_c), Verdict::rejected);
  EXPECT_EQ(verdict_of(graded('F', 1.0).visit, from_c), Verdict::rejected);
  EXPECT_EQ(verdict_of(graded('U', 1.0).visit, from_c), Verdict::undecided);
  EXPECT_EQ(verdict_of(graded(' ', 1.0).visit, from_c), Verdict::undecided);
  EXPECT_EQ(verdict_of(graded('C', 1.0).visit, {'B', 0.8}), Verdict::rejected);
  ReturnVisit refused;
  refused.refused = true;
  EXPECT_EQ(verdict_of(refused, from_c), Verdict::rejected);
}

TEST(Summary, counts_errors_among_the_truly_good_and_the_truly_bad_apart) {
  const Summary sum = of({graded('A', 1.1), graded('D', 0.7), graded('B', 0.5), graded('D', 0.4),
                          graded('U', 0.61), graded('C', 0.59)});
  EXPECT_EQ(sum.false_accepts.hits, 2);
  EXPECT_EQ(sum.false_accepts.trials, 3);
  EXPECT_EQ(sum.false_rejects.hits, 1);
  EXPECT_EQ(sum.false_rejects.trials, 3);
  EXPECT_EQ(sum.near_false_accepts.hits, 1) << "0.59 of 0.6 is within 5 %";
  EXPECT_EQ(sum.near_false_rejects.hits, 0);
  EXPECT_EQ(sum.undecided.hits, 1);
  EXPECT_EQ(sum.undecided.trials, 6);
  ASSERT_EQ(sum.wrong.size(), 3U);
}

TEST(Summary, gives_the_published_interval_of_a_share) {
  Count count{15, 148};  // M: Newcombe 1998, 0.0624 to 0.1605
  EXPECT_NEAR(count.interval().low, 0.0624, 1e-4);
  EXPECT_NEAR(count.interval().high, 0.1605, 1e-4);
}

TEST(Summary, what_is_bad_by_something_else_than_minutes_is_not_in_the_curve) {
  RehearsedReturn leaky = graded('A', 1.1, "leaky");
  leaky.truth.holds_charge = false;
  const Summary sum = of({leaky, graded('A', 0.61)});
  int in_curve = 0;
  for (const CurveBin& bin : sum.curve) in_curve += bin.accepted + bin.rejected + bin.undecided;
  EXPECT_EQ(in_curve, 1);
  EXPECT_EQ(sum.false_accepts.hits, 1);
  EXPECT_EQ(sum.false_accepts_by_kind.at("leaky").hits, 1);
}

TEST(Summary, what_is_bad_by_its_volts_alone_is_in_the_curve_of_the_volts) {
  RehearsedReturn weak = graded('C', 0.8);
  weak.truth.load_margin = Volt(-0.15);
  const Summary sum = of({weak});
  int in_bin = 0;
  for (const CurveBin& bin : sum.load_curve) {
    if (bin.least <= -0.15 && bin.most > -0.15) in_bin = bin.accepted;
  }
  EXPECT_EQ(in_bin, 1);
  EXPECT_EQ(sum.near_false_accepts.hits, 1);
  weak.truth.load_margin = Volt(-0.6);
  EXPECT_EQ(of({weak}).near_false_accepts.trials, 0);
}

TEST(Summary, means_what_a_verdict_took_and_whether_it_came_the_same_day) {
  RehearsedReturn late = graded('A', 1.0);
  late.visit.decided = hours(10.0);
  const Summary sum = of({graded('A', 1.0), late});
  ASSERT_EQ(sum.rows.size(), 1U);
  const Costs& costs = sum.rows.front().costs;
  EXPECT_EQ(costs.visits, 2);
  EXPECT_EQ(costs.hands_on, minutes(10.0));
  EXPECT_EQ(costs.to_verdict, hours(8.0));
  EXPECT_EQ(costs.bay, hours(2.0));
  EXPECT_EQ(costs.bay_runs, hours(1.5));
  EXPECT_EQ(costs.charging_place, hours(10.0));
  EXPECT_EQ(costs.same_day.hits, 1) << "from 9 to 15 o'clock; 19 o'clock is after the shop has closed";
}

TEST(Summary, counts_reasons_that_differ_in_their_figures_alone_together) {
  RehearsedReturn one = graded(' ', 0.1);
  one.visit.unfinished = "3 attempts failed at 12.33 V";
  RehearsedReturn other = graded(' ', 0.1);
  other.visit.unfinished = "3 attempts failed at 12.04 V";
  const Summary sum = of({one, other});
  ASSERT_EQ(sum.unfinished.size(), 1U);
  EXPECT_EQ(sum.unfinished.begin()->second, 2);
}

TEST(Report, says_that_an_aim_is_missed_and_with_what_seed) {
  RehearsalFacts facts;
  facts.seed = 17;
  facts.policy = "some policy";
  const std::string table = returns_table(of({graded('A', 0.3), graded('A', 1.0)}), {}, facts);
  EXPECT_NE(table.find("MISSED"), std::string::npos);
  EXPECT_NE(table.find("seed 17"), std::string::npos);
  EXPECT_NE(table.find("simulated"), std::string::npos);
}

TEST(Summary, tells_apart_what_is_undecided_because_its_owner_did_not_agree) {
  RehearsedReturn refused = graded('U', 1.0);
  refused.one.owner_agrees = false;
  const std::vector<RehearsedReturn> all{refused, graded('U', 1.0), graded('B', 1.0)};
  Policy asks;
  asks.complete_discharge = CompleteDischarge::with_consent;
  const Summary sum = summarise(all, asks, 'C', shop());
  EXPECT_EQ(sum.undecided.hits, 2);
  EXPECT_EQ(sum.undecided_without_consent.hits, 1);
  EXPECT_EQ(of(all).undecided_without_consent.hits, 0) << "nobody asked";
}

TEST(Summary, counts_errors_by_both_kinds_of_minutes) {
  RehearsedReturn sulphated = graded('D', 0.55);
  sulphated.truth.share_if_filled = 0.65;
  const Summary sum = of({sulphated});
  EXPECT_EQ(sum.false_rejects.hits, 0);
  EXPECT_EQ(sum.false_rejects_if_filled.hits, 1);
  EXPECT_EQ(sum.false_accepts_if_filled.trials, 0);
}

}  // namespace
}  // namespace leadwright
