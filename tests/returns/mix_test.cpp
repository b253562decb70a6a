// SPDX-License-Identifier: Apache-2.0
// config/returns.toml, and what a person may get wrong in it.
#include "tools/returns/mix.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

namespace leadwright {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::UnorderedElementsAre;

const std::string shipped = LEADWRIGHT_SOURCE_DIR "/config/returns.toml";

std::string shipped_text() {
  std::ifstream file(shipped);
  return {std::istreambuf_iterator<char>(file), {}};
}

/// The shipped file with a text in the place of another.
std::string with(const std::string& old_text, const std::string& new_text) {
  std::string text = shipped_text();
  const std::size_t at = text.find(old_text);
  EXPECT_NE(at, std::string::npos) << old_text;
  return text.replace(at, old_text.size(), new_text);
}

std::vector<std::string> mistakes(const std::string& text) {
  const auto mix = read_returns_mix(text, "returns.toml");
  std::vector<std::string> lines;
  if (!mix) {
    for (const Error& error : mix.error()) lines.push_back(error.line());
  }
  return lines;
}

TEST(ReturnsMix, as_shipped_has_the_four_shares_of_the_trade) {
  const auto mix = load_returns_mix(shipped);
  ASSERT_TRUE(mix) << mix.error().front().line();
  double usable = 0.0;
  double all = 0.0;
  for (const BatteryKind& kind : mix->kinds) {
    all += kind.share;
    if (kind.name == "sound" || kind.name == "discharged only") usable += kind.share;
  }
  EXPECT_NEAR(all, 1.0, 1e-9);
  EXPECT_NEAR(usable, 0.5, 1e-9);
  EXPECT_EQ(mix->people.opens, hours(8.0));
  EXPECT_EQ(mix->people.time_cap, hours(96.0));
  EXPECT_THAT(mix->queue.bays, ElementsAre(1, 2));
}

TEST(ReturnsMix, of_the_detectors_is_read_with_its_severities_and_clamps) {
  const auto mix = load_returns_mix(LEADWRIGHT_SOURCE_DIR "/tools/returns/detectors.toml");
  ASSERT_TRUE(mix) << mix.error().front().line();
  int graded = 0;
  int clamps = 0;
  for (const BatteryKind& kind : mix->kinds) {
    EXPECT_EQ(kind.share, mix->kinds.front().share) << kind.name;
    if (kind.severity) ++graded;
    if (kind.clamp_mohm) ++clamps;
  }
  EXPECT_EQ(graded, 6);
  EXPECT_EQ(clamps, 1);
}

TEST(ReturnsMix, of_new_batteries_has_bad_ones_that_a_bench_without_minutes_can_and_cannot_see) {
  const auto mix = load_returns_mix(LEADWRIGHT_SOURCE_DIR "/tools/returns/new_batteries.toml");
  ASSERT_TRUE(mix) << mix.error().front().line();
  double sound = 0.0;
  double all = 0.0;
  int mislabelled = 0;
  for (const BatteryKind& kind : mix->kinds) {
    all += kind.share;
    const bool is_whole = kind.fault == CellFault::none && !kind.of_label && !kind.cracked;
    if (is_whole) sound += kind.share;
    if (kind.of_label) ++mislabelled;
    EXPECT_GE(kind.wear.least, 0.95) << kind.name << " is no new battery";
  }
  EXPECT_NEAR(all, 1.0, 1e-9);
  EXPECT_GT(sound, 0.5);
  EXPECT_EQ(mislabelled, 1);
}

TEST(ReturnsMix, takes_a_severity_of_a_fault_alone) {
  const auto lines = mistakes(with("name = \"worn\"\n", "name = \"worn\"\nseverity = [0.1, 1.0]\n"));
  EXPECT_THAT(lines, ElementsAre(HasSubstr("nothing is wrong that it could belong to")));
}

TEST(ReturnsMix, reads_which_cells_have_which_fault) {
  const auto mix = load_returns_mix(shipped);
  ASSERT_TRUE(mix);
  const auto found = std::find_if(mix->kinds.begin(), mix->kinds.end(),
                                  [](const BatteryKind& kind) { return kind.name == "sulphated"; });
  ASSERT_NE(found, mix->kinds.end());
  EXPECT_EQ(found->fault, CellFault::sulphated);
  EXPECT_EQ(found->faulty_cells, 6);
  EXPECT_EQ(found->wear.least, 0.6);
}

TEST(ReturnsMix, a_key_that_nobody_knows_is_an_error_with_the_near_one) {
  EXPECT_THAT(mistakes(with("states_cca", "states_ccc")),
              testing::Contains(AllOf(HasSubstr("returns.toml:"), HasSubstr("states_cca"))));
}

TEST(ReturnsMix, a_span_that_stands_on_its_head_is_an_error_with_its_bounds) {
  EXPECT_THAT(mistakes(with("wear = [0.25, 0.80]", "wear = [0.80, 0.25]")),
              ElementsAre(AllOf(HasSubstr("no span"), HasSubstr("0.1 to 1"))));
  EXPECT_THAT(mistakes(with("wear = [0.25, 0.80]", "wear = [0.25]")), ElementsAre(HasSubstr("no span")));
}

TEST(ReturnsMix, a_fault_that_the_simulator_does_not_know_is_named_with_those_that_it_knows) {
  EXPECT_THAT(mistakes(with("\"dried_out\"", "\"wet\"")),
              testing::Contains(AllOf(HasSubstr("\"wet\""), HasSubstr("self_discharge"))));
}

TEST(ReturnsMix, a_fault_without_cells_is_an_error) {
  EXPECT_THAT(mistakes(with("fault = \"open\"\nfaulty_cells = 1", "fault = \"open\"")),
              ElementsAre(HasSubstr("needs cells")));
}

TEST(ReturnsMix, hours_that_end_before_they_begin_and_hours_that_are_none_are_errors) {
  EXPECT_THAT(mistakes(with("\"18:00\"", "\"07:00\"")), ElementsAre(HasSubstr("closes before it opens")));
  EXPECT_THAT(mistakes(with("\"08:00\"", "\"8 am\"")), ElementsAre(HasSubstr("no time of day")));
  EXPECT_THAT(mistakes(with("\"18:00\"", "\"25:00\"")),
              UnorderedElementsAre(HasSubstr("no time of day"), HasSubstr("closes before it opens")));
}

TEST(ReturnsMix, all_mistakes_come_at_once) {
  std::string text = with("share = 0.15", "share = -1");
  text.replace(text.find("arrivals_a_day = 6"), 18, "arrivals_a_day = 0");
  EXPECT_THAT(mistakes(text), UnorderedElementsAre(HasSubstr("0 to 1e+06"), HasSubstr("0.1 to 1000")));
}

TEST(ReturnsMix, a_file_that_is_not_there_is_one_error) {
  const auto mix = load_returns_mix("/nowhere/returns.toml");
  ASSERT_FALSE(mix);
  EXPECT_EQ(mix.error().size(), 1U);
}

}  // namespace
}  // namespace leadwright
