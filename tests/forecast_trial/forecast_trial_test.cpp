// SPDX-License-Identifier: Apache-2.0
// The forecast on outside traces, both halves (tests/reference/porous-electrode, its source beside it), and
// on some simulated batteries. Bounds are those that the figures in DEVELOPERS.md, Measured, leave room for.
#include "tools/forecast_trial/tables.h"

#include <gtest/gtest.h>

#include <set>

namespace leadwright {
namespace {

const std::string folder = LEADWRIGHT_SOURCE_DIR "/tests/reference/porous-electrode";

std::vector<TrialCase> of(Half half, const std::string& group) {
  auto cases = reference_cases(folder, half);
  if (!cases) ADD_FAILURE() << cases.error().what;
  return cases ? of_group(*cases, group) : std::vector<TrialCase>{};
}

TEST(ForecastTrial, keeps_the_halves_apart) {
  std::set<std::string> names;
  std::size_t count = 0;
  for (const Half half : {Half::to_tune_on, Half::held_out}) {
    for (const std::string group : {"B", "E"}) {
      const auto cases = of(half, group);
      count += cases.size();
      for (const TrialCase& one : cases) names.insert(one.name);
    }
  }
  EXPECT_EQ(count, 22U);
  EXPECT_EQ(names.size(), count);
}

TEST(ForecastTrial, by_the_designs_curve_comes_within_3_percent_from_a_tenth_on_if_cells_are_alike) {
  for (const Half half : {Half::to_tune_on, Half::held_out}) {
    for (const double share : {0.1, 0.2, 0.4, 0.6}) {
      const ForecastScore found = score(of(half, "B"), Method::own_curve, share);
      EXPECT_GE(found.count, 4) << share;
      EXPECT_LT(found.rms, 3.0) << share;
      EXPECT_GE(found.coverage, 0.9) << share;
      EXPECT_LT(found.half_width, 12.0) << share;
    }
  }
}

TEST(ForecastTrial, with_the_weak_cell_counted_in_holds_the_ends_of_group_e_until_late) {
  for (const Half half : {Half::to_tune_on, Half::held_out}) {
    for (const double share : {0.1, 0.2, 0.4}) {
      const auto cases = of(half, "E");
      EXPECT_EQ(score(cases, Method::whole, share).coverage, 1.0) << share;
      EXPECT_LT(score(cases, Method::own_curve, share).coverage, 0.5) << share;
    }
  }
}

TEST(ForecastTrial, another_designs_curve_is_no_forecast) {
  const ForecastScore own = score(of(Half::held_out, "B"), Method::own_curve, 0.4);
  const ForecastScore foreign = score(of(Half::held_out, "B"), Method::foreign_curve, 0.4);
  EXPECT_GT(foreign.rms, 5.0 * own.rms);
}

TEST(ForecastTrial, decides_early_and_never_wrongly_on_the_outside_traces) {
  for (const Half half : {Half::to_tune_on, Half::held_out}) {
    const EarlyScore found = early_score(of(half, "B"), 0.8);
    EXPECT_GE(found.decided, 5);
    EXPECT_EQ(found.wrong, 0);
    EXPECT_GT(found.saved_min, 20.0);
    EXPECT_EQ(early_score(of(half, "E"), 0.6).wrong, 0);
  }
}

TEST(ForecastTrial, decides_early_and_never_wrongly_on_simulated_batteries) {
  const EarlyScore found = early_score(simulated_cases(60, 7), 0.8);
  EXPECT_GT(found.decided, found.missed / 2);
  EXPECT_EQ(found.wrong, 0);
}

TEST(ForecastTrial, sees_the_weak_cell_minutes_before_the_end) {
  for (const Half half : {Half::to_tune_on, Half::held_out}) {
    for (const TrialCase& one : of(half, "E")) {
      const auto before = sign_before_end(one);
      ASSERT_TRUE(before) << one.name;
      EXPECT_GT(as_minutes(*before), 5.0) << one.name;
    }
    for (const TrialCase& one : of(half, "B"))
      EXPECT_LT(sign_before_end(one).value_or(Second(0.0)), minutes(5.0)) << one.name;
  }
}

TEST(ForecastTrial, is_the_same_for_the_same_seed) {
  const auto first = simulated_cases(5, 9);
  const auto second = simulated_cases(5, 9);
  for (std::size_t i = 0; i < first.size(); ++i) {
    EXPECT_EQ(first[i].end, second[i].end);
    EXPECT_EQ(*first[i].samples.back().volts, *second[i].samples.back().volts);
  }
}

}  // namespace
}  // namespace leadwright
