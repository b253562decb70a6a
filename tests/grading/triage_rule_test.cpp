// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/triage_rule.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/grading/policy.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

tl::expected<Policy, std::vector<Error>> policy_with(const std::string& triage) {
  const std::string words =
      "[dispositions]\nA = \"a\"\nB = \"b\"\nC = \"c\"\nD = \"d\"\nF = \"f\"\nU = \"u\"\n";
  return read_policy("schema = 1\nname = \"p\"\nversion = 1\n" + words + triage, "p.toml");
}

std::string first_mistake(const std::string& triage) {
  const auto policy = policy_with(triage);
  return policy ? "" : policy.error().front().line();
}

TEST(TriageRule, is_read_with_its_prices_its_times_and_what_was_seen) {
  const auto policy = policy_with(
      "[triage]\nbay_hour = \"5 min\"\ncharging_hour = \"0.5 min\"\ncarry = \"4 min\"\nrest_charged = \"2 "
      "h\"\n"
      "load = \"7 min\"\ncharge_empty = \"10 h\"\ncharge_top_up = \"2.5 h\"\nold_from = \"48 months\"\n"
      "old_odds = 2\n[[triage.seen]]\ncame = \"charged\"\nresistance_from = \"5 V\"\nbatteries = 72\n"
      "load_fails = 50\nminutes_fail = 58\nboth_fail = 36\n");
  ASSERT_TRUE(policy) << policy.error().front().line();
  const TriageRule& rule = *policy->triage;
  EXPECT_EQ(rule.bay_hour, minutes(5.0));
  EXPECT_EQ(rule.charging_hour, minutes(0.5));
  EXPECT_EQ(rule.carry, minutes(4.0));
  EXPECT_EQ(rule.charge_top_up, hours(2.5));
  EXPECT_EQ(rule.rest_charged, hours(2.0));
  EXPECT_EQ(rule.old_months, 48);
  ASSERT_EQ(rule.rows.size(), 1U);
  EXPECT_TRUE(rule.rows[0].came_charged);
  EXPECT_EQ(rule.rows[0].product_from, Volt(5.0));
  EXPECT_EQ(rule.rows[0].both_fail, 36);
}

TEST(TriageRule, is_missing_where_a_policy_has_none) {
  const auto policy = policy_with("");
  ASSERT_TRUE(policy);
  EXPECT_FALSE(policy->triage);
}

TEST(TriageRule, refuses_what_contradicts_itself_or_is_not_known) {
  const std::string row = "[triage]\n[[triage.seen]]\nresistance_from = \"0 V\"\n";
  EXPECT_THAT(first_mistake(row + "came = \"charged\"\nbatteries = 10\nload_fails = 8\nminutes_fail = 8\n"
                                  "both_fail = 2\n"),
              HasSubstr("contradict"));
  EXPECT_THAT(first_mistake(row + "came = \"charged\"\nbatteries = 10\nload_fails = 1\nminutes_fail = 8\n"
                                  "both_fail = 2\n"),
              HasSubstr("contradict"));
  EXPECT_THAT(first_mistake(row + "came = \"flat\"\nbatteries = 1\nload_fails = 0\nminutes_fail = 0\n"
                                  "both_fail = 0\n"),
              HasSubstr("\"flat\" is none of the two"));
  EXPECT_THAT(first_mistake("[triage]\nbay_hour = \"2 h\"\n"), HasSubstr("2 h"));
  EXPECT_THAT(first_mistake("[triage]\nold_from = \"48 months\"\nold_odds = 0\n"), HasSubstr("0.1 to 10"));
  EXPECT_NE(first_mistake("[triage]\nbay = \"2 min\"\n"), "") << "an unknown key";
}

}  // namespace
}  // namespace leadwright
