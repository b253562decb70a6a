// SPDX-License-Identifier: Apache-2.0
// Lines that lose, flip, delay and split, from many seeds. Method: a quarter-full battery is discharged by
// the whole daemon; the posts are off at the end, and a run that says "complete" measured what quiet lines
// measure.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

constexpr std::uint64_t lossy_seeds = 200;
constexpr double share_off_max = 0.01;

class LossyLines : public WorldTest {
 protected:
  std::optional<double> minutes_of(const FaultPlan& faults, std::uint64_t seed) {
    results.clear();
    WorldOptions options;
    options.link_faults = faults;
    options.link_faults.seed = seed * 1000;
    make_world(std::move(options));
    bring("x", "cell:sound,charged=0.25");
    const std::string ticket = drop_off("S-1", "flooded", 6, "reserve capacity");
    carry("x", ticket, bay);
    for (int hand = 0; hand < 30 && world->start(bay).status != 202; ++hand) {
      world->clock().run_for(Second(1.0));
    }
    EXPECT_TRUE(world->finish(bay, hours(3.0)));
    world->clock().run_for(Second(20.0));
    world->sim().terminals(bay)->settle(world->clock().now());
    EXPECT_FALSE(terminals(bay).load.on);
    EXPECT_FALSE(terminals(bay).charger.on);
    if (results.empty() || results.back().run.outcome != RunOutcome::complete) return std::nullopt;
    const Finding* minutes = file(ticket).newest(Measurand::reserve_capacity);
    return minutes != nullptr ? std::optional(minutes->value) : std::nullopt;
  }
};

TEST_F(LossyLines, end_every_run_off_and_never_change_a_completed_result) {
  const auto truth = minutes_of({}, 1);
  ASSERT_TRUE(truth);
  FaultPlan faults;
  faults.drop = 0.0003;
  faults.flip = 0.0003;
  faults.delay = 0.0003;
  faults.split = 0.01;
  int completed = 0;
  for (std::uint64_t seed = 1; seed <= lossy_seeds; ++seed) {
    SCOPED_TRACE("seed=" + std::to_string(seed));
    const auto measured = minutes_of(faults, seed);
    if (!measured) continue;
    ++completed;
    EXPECT_NEAR(*measured, *truth, share_off_max * *truth);
  }
  RecordProperty("completed", completed);
  EXPECT_GE(completed, 20);
}

}  // namespace
}  // namespace leadwright
