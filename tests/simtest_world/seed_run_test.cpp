// SPDX-License-Identifier: Apache-2.0
// Whole worlds, few of them: tools/check runs a thousand.
#include "tools/simtest_world/seed_run.h"

#include <gtest/gtest.h>

#include <sstream>

#include "tools/simtest_world/shape.h"

namespace leadwright {
namespace {

SeedOptions options_of(std::uint64_t seed) {
  SeedOptions options;
  options.seed = seed;
  options.hours = minutes(10.0);
  options.config_folder = LEADWRIGHT_SOURCE_DIR "/config";
  return options;
}

TEST(SeedRun, gives_the_same_log_for_the_same_seed_and_another_for_another) {
  std::ostringstream first;
  std::ostringstream second;
  SeedOptions options = options_of(5);
  options.log = &first;
  const SeedResult one = run_seed(options);
  options.log = &second;
  const SeedResult other = run_seed(options);
  EXPECT_EQ(one.hash, other.hash);
  EXPECT_TRUE(first.str() == second.str());
  EXPECT_GT(first.str().size(), 10000U);
  EXPECT_NE(run_seed(options_of(6)).hash, run_seed(options_of(7)).hash);
}

TEST(SeedRun, completes_runs_and_breaks_no_promise_where_nothing_fails) {
  Tally sum;
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    SeedOptions options = options_of(seed);
    options.ceiling = {"none"};
    const SeedResult result = run_seed(options);
    for (const Violation& each : result.violations) ADD_FAILURE() << each.promise << ": " << each.what;
    sum.add(result.tally);
  }
  EXPECT_GE(sum.of("runs complete"), 5U);
  EXPECT_GE(sum.of("ampere-hours compared"), 5U);
  EXPECT_GE(sum.of("findings"), 5U);
  for (const auto& [name, count] : sum.counts()) {
    EXPECT_FALSE(name.starts_with("fault ") && count > 0) << name;
  }
}

TEST(WorldShape, switches_on_a_subset_that_differs_from_seed_to_seed) {
  std::size_t fewest = all_strikes().size();
  std::size_t most = 0;
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    const std::size_t count = shape_of(seed).strikes.size();
    fewest = std::min(fewest, count);
    most = std::max(most, count);
  }
  EXPECT_LE(fewest, 3U);
  EXPECT_GE(most, all_strikes().size() / 3);
}

TEST(WorldShape, keeps_below_its_ceiling) {
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    const WorldShape shape = shape_of(seed, {"sim.busy"});
    EXPECT_TRUE(shape.mistakes.empty());
    EXPECT_TRUE(shape.links.is_quiet());
    for (const auto& [name, mean] : shape.strikes) EXPECT_EQ(name, "sim.busy");
  }
}

}  // namespace
}  // namespace leadwright
