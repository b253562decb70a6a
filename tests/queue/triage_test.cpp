// SPDX-License-Identifier: Apache-2.0
// Ways to the letter and what they cost. Expected figures are added up by hand beside each test.
#include "daemon/queue/triage.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace leadwright {
namespace {

using testing::HasSubstr;

/// Of the low row no load test decides anything; of the high one, three of four.
TriageRule rule() {
  TriageRule rule;
  rule.bay_hour = minutes(5.0);
  rule.charging_hour = minutes(0.2);
  rule.carry = minutes(3.5);
  rule.rows = {{false, Volt(0.0), 199, 0, 10, 0},
               {false, Volt(5.0), 99, 75, 60, 50},
               {true, Volt(0.0), 199, 0, 20, 0}};
  return rule;
}

TriageKnown with_product(std::optional<Volt> product) {
  TriageKnown known;
  known.product = product;
  known.rated = minutes(100.0);
  return known;
}

TEST(Triage, takes_its_chances_from_the_row_that_its_resistance_reaches) {
  const auto low = chances_of(rule(), with_product(Volt(3.0)));
  ASSERT_TRUE(low);
  EXPECT_EQ(low->batteries, 199);
  EXPECT_NEAR(low->load, 0.5 / 200.0, 1e-12) << "none failed: half a battery may yet";
  const auto high = chances_of(rule(), with_product(Volt(6.0)));
  ASSERT_TRUE(high);
  EXPECT_EQ(high->batteries, 99);
  EXPECT_NEAR(high->load, 0.755, 1e-12);
}

TEST(Triage, takes_all_rows_where_nobody_measured_the_resistance) {
  const auto chances = chances_of(rule(), with_product(std::nullopt));
  ASSERT_TRUE(chances);
  EXPECT_EQ(chances->batteries, 298);
  EXPECT_NEAR(chances->load, 75.5 / 299.0, 1e-12);
}

TEST(Triage, knows_nothing_of_what_never_came_in) {
  TriageRule only_discharged = rule();
  only_discharged.rows.pop_back();
  TriageKnown known = with_product(Volt(3.0));
  known.came_charged = true;
  EXPECT_FALSE(chances_of(only_discharged, known));
  EXPECT_FALSE(choose_first_test(only_discharged, known));
  EXPECT_FALSE(choose_start(only_discharged, known));
}

TEST(Triage, raises_the_chances_of_an_old_battery_by_its_odds) {
  TriageRule aged = rule();
  aged.old_months = 48;
  aged.old_odds = 2.0;
  TriageKnown known = with_product(Volt(6.0));
  known.age_months = 47;
  EXPECT_NEAR(chances_of(aged, known)->load, 0.755, 1e-12);
  known.age_months = 48;
  EXPECT_NEAR(chances_of(aged, known)->load, 2.0 * 0.755 / (1.0 + 0.755), 1e-12) << "odds 0.755 to 0.245";
}

TEST(Triage, measures_the_minutes_first_where_a_load_test_decides_nothing) {
  const auto choice = choose_first_test(rule(), with_product(Volt(3.0)));
  ASSERT_TRUE(choice);
  EXPECT_EQ(choice->chosen.begins, Way::Begins::minutes);
  EXPECT_NEAR(choice->chosen.decides, 10.5 / 200.0, 1e-12);
  // 100 min; of those that do not fail by them 7 min of load.
  const double kept = 1.0 - 10.5 / 200.0;
  EXPECT_NEAR(as_minutes(choice->chosen.bay), 100.0 + kept * as_minutes(rule().load), 1e-9);
  EXPECT_NEAR(as_minutes(choice->chosen.hands), 2.0 * 3.5 * kept, 1e-9);
  EXPECT_LT(choice->chosen.price, choice->other.price);
}

TEST(Triage, makes_the_load_test_first_where_it_decides_most) {
  const auto choice = choose_first_test(rule(), with_product(Volt(6.0)));
  ASSERT_TRUE(choice);
  EXPECT_EQ(choice->chosen.begins, Way::Begins::load);
  EXPECT_EQ(choice->other.begins, Way::Begins::minutes);
  EXPECT_NEAR(choice->chosen.decides, 0.755, 1e-12);
}

TEST(Triage, tests_what_came_charged_before_it_is_charged) {
  TriageKnown known = with_product(Volt(3.0));
  known.came_charged = true;
  known.soc = 0.9;
  known.is_rested = true;
  const auto choice = choose_start(rule(), known);
  ASSERT_TRUE(choice);
  EXPECT_EQ(choice->chosen.begins, Way::Begins::load_as_it_came);
}

TEST(Triage, rests_a_battery_where_it_stands_only_while_a_bay_costs_less_than_two_ways) {
  TriageRule cheap = rule();
  cheap.bay_hour = minutes(2.0);
  EXPECT_EQ(choose_where_to_rest(cheap).chosen.begins, Way::Begins::rest_here) << "3.0 against 7.3 min";
  EXPECT_EQ(choose_where_to_rest(rule()).chosen.begins, Way::Begins::rest_away) << "7.5 against 7.3 min";
}

TEST(Triage, says_what_it_chose_with_the_figures_of_both_ways) {
  const auto choice = choose_first_test(rule(), with_product(Volt(6.0)));
  ASSERT_TRUE(choice);
  const std::string text = said_of(*choice).text();
  EXPECT_THAT(text, HasSubstr("Load test first: it alone decides 76 %"));
  EXPECT_THAT(text, HasSubstr("Minutes first: they alone decide 60 %"));
  EXPECT_THAT(text, HasSubstr("to the letter"));
  EXPECT_THAT(said_of(choose_where_to_rest(rule())).text(), HasSubstr("frees the bay: 0.0 h of a bay"));
}

TEST(Triage, expects_more_of_what_has_more_before_it) {
  const TriageKnown known = with_product(std::nullopt);
  TestsAhead tests;
  tests.load = true;
  tests.minutes = true;
  const Way ready = way_ahead(rule(), known, tests);
  tests.charge = true;
  const Way flat = way_ahead(rule(), known, tests);
  EXPECT_GT(flat.price, ready.price);
  EXPECT_NEAR(as_minutes(flat.hands - ready.hands), 7.0, 1e-9) << "there and back";
  TriageRule unknown = rule();
  unknown.rows.clear();
  EXPECT_GT(way_ahead(unknown, known, tests).price, Second(0.0));
}

}  // namespace
}  // namespace leadwright
