// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/policy.h"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

namespace leadwright {
namespace {

std::string shipped_text() {
  std::ifstream file(LEADWRIGHT_SOURCE_DIR "/config/policies/bench.toml");
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::vector<Error> mistakes(std::string_view from, std::string_view to) {
  std::string text = shipped_text();
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  const auto policy = read_policy(text.replace(at, from.size(), to), "bench.toml");
  return policy ? std::vector<Error>{} : policy.error();
}

TEST(Policy, that_is_shipped_is_read) {
  const auto policy = read_policy(shipped_text(), "bench.toml");
  ASSERT_TRUE(policy) << policy.error()[0].line();
  EXPECT_EQ(policy->name, "bench acceptance");
  EXPECT_EQ(policy->version, 1);
  EXPECT_EQ(policy->share_a, 1.0);
  EXPECT_EQ(policy->share_b, 0.8);
  EXPECT_EQ(policy->share_c, 0.6);
  EXPECT_EQ(policy->guard_factor, 1.645);
  EXPECT_EQ(policy->hash.size(), 64U);
  EXPECT_EQ(policy->dispositions.size(), 6U);
}

TEST(Policy, reports_each_mistake) {
  EXPECT_EQ(mistakes("share_b = 0.8", "share_b = 1.2").size(), 1U);
  EXPECT_EQ(mistakes("share_b = 0.8", "share_b = 80").size(), 1U);
  EXPECT_EQ(mistakes("guard_factor = 1.645", "guard_factor = -1").size(), 1U);
  EXPECT_EQ(mistakes("soc_min_to_test = 0.75", "soc_min_to_test = 75").size(), 1U);
  EXPECT_EQ(mistakes("version = 1", "version = 0").size(), 1U);
  EXPECT_EQ(mistakes("high_rate_draw_required", "high_rate_draw_requird").size(), 1U);
  EXPECT_EQ(mistakes("[dispositions]\nA = ", "[dispositions]\nX = ").size(), 2U);
}

TEST(Policy, says_what_becomes_of_overdue_meters) {
  const auto with = [](const std::string& table) {
    return read_policy(shipped_text() + "[calibration]\n" + table + "\n", "bench.toml");
  };
  EXPECT_EQ(with("overdue = \"refuse\"")->calibration.overdue, OverdueMeters::refuse);
  EXPECT_EQ(with("overdue = \"widen\"\nwiden_by = 3")->calibration.widen_by, 3.0);
  EXPECT_FALSE(with("overdue = \"ignore\""));
  EXPECT_FALSE(with("overdue = \"widen\"\nwiden_by = 0.5")) << "no meter gets better by waiting";
}

TEST(Policy, says_when_self_discharge_is_looked_for_and_leaves_no_amount_out) {
  const std::string whole =
      "falls_most = \"15 mV/d\"\nsettles = \"24 h\"\nstands = \"20 h\"\nstands_most = \"72 h\"\n"
      "flat_cell = \"2.083 V\"\nwrong_costs = \"960 min\"\nlooks_cost = \"10 min\"\n";
  const auto with = [](const std::string& table) {
    return read_policy(shipped_text() + "[retention]\n" + table, "bench.toml");
  };
  const auto policy = with(whole + "share = 0.02\n");
  ASSERT_TRUE(policy) << policy.error()[0].line();
  EXPECT_EQ(policy->retention->settles, hours(24.0));
  EXPECT_EQ(policy->retention->wrong, minutes(960.0));
  EXPECT_EQ(policy->retention->share, 0.02);
  EXPECT_FALSE(with(whole.substr(whole.find('\n') + 1))) << "no limit";
  EXPECT_FALSE(with("stands_most = \"10 h\"\n"));
  EXPECT_FALSE(read_policy(shipped_text(), "bench.toml")->retention);
}

TEST(Policy, hash_follows_the_text) {
  std::string text = shipped_text();
  const auto before = read_policy(text, "bench.toml");
  const auto after = read_policy(text.append("# more\n"), "bench.toml");
  EXPECT_NE(before->hash, after->hash);
}

}  // namespace
}  // namespace leadwright
