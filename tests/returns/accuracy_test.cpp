// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/accuracy.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::Pair;

RehearsedReturn measured(const char* kind, double truth_min, double stated_min, double u) {
  RehearsedReturn one;
  one.one.kind = kind;
  one.truth.minutes = minutes(truth_min);
  one.visit.minutes.emplace();
  one.visit.minutes->measurand = Measurand::reserve_capacity_ref;
  one.visit.minutes->value = stated_min;
  one.visit.minutes->u = u;
  return one;
}

TEST(MinutesAccuracy, is_bias_spread_and_coverage_of_each_kind_and_of_all) {
  const auto rows =
      minutes_accuracy({measured("sound", 100.0, 102.0, 2.0), measured("sound", 100.0, 106.0, 2.0),
                        measured("worn", 50.0, 49.0, 1.0)});
  ASSERT_EQ(rows.size(), 3U);
  EXPECT_EQ(rows[0].kind, "sound");
  EXPECT_NEAR(rows[0].bias, 0.04, 1e-12);
  EXPECT_NEAR(rows[0].spread, 0.0282843, 1e-6);
  EXPECT_EQ(rows[0].covered.hits, 1) << "106 is three standard uncertainties off";
  EXPECT_EQ(rows[0].covered.trials, 2);
  EXPECT_EQ(rows[2].kind, "all");
  EXPECT_EQ(rows[2].covered.hits, 2);
}

TEST(MinutesAccuracy, tells_the_bias_against_a_battery_that_could_be_filled_as_well) {
  RehearsedReturn sulphated = measured("sulphated", 80.0, 80.0, 2.0);
  sulphated.truth.minutes_if_filled = minutes(100.0);
  const auto rows = minutes_accuracy({sulphated});
  EXPECT_NEAR(rows[0].bias, 0.0, 1e-12);
  EXPECT_NEAR(rows[0].bias_if_filled, -0.2, 1e-12);
}

TEST(MinutesAccuracy, leaves_out_what_was_stopped_before_its_end) {
  RehearsedReturn stopped = measured("sound", 100.0, 96.0, 2.0);
  stopped.visit.minutes->measurand = Measurand::reserve_capacity_ref_at_least;
  EXPECT_TRUE(minutes_accuracy({stopped}).empty());
}

TEST(ToldByKind, counts_each_word_once_a_battery_and_those_of_which_nothing_was_told) {
  RehearsedReturn twice = measured("sulphated", 60.0, 60.0, 1.0);
  twice.visit.told = {"sulphation", "sulphation"};
  RehearsedReturn refused = twice;
  refused.visit.refused = true;
  const auto rows = told_by_kind({twice, measured("sulphated", 60.0, 60.0, 1.0), refused});
  ASSERT_EQ(rows.size(), 1U);
  EXPECT_EQ(rows[0].batteries, 2);
  EXPECT_THAT(rows[0].told, ElementsAre(Pair("nothing", 1), Pair("sulphation", 1)));
}

TEST(ToldByKind, is_told_in_json) {
  EXPECT_EQ(told_json({{"open joint", 2, {{"open_circuit", 2}}}}),
            R"([{"kind":"open joint","batteries":2,"told":{"open_circuit":2}}])");
}

}  // namespace
}  // namespace leadwright
