// SPDX-License-Identifier: Apache-2.0
// A bay whose load and charger are one unit.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

class TwoQuadrantTest : public WorldTest {
 protected:
  void SetUp() override {
    WorldOptions options;
    options.two_quadrant = true;
    make_world(std::move(options));
  }
  Place& place() { return *world->bench().place(bay); }
};

TEST_F(TwoQuadrantTest, draws_and_charges_with_the_signs_of_the_battery) {
  begin_run("cell:discharged", "standard charge");
  ASSERT_TRUE(world->clock().run_until([this] { return terminals(bay).charger_amps() > Ampere(1.0); },
                                       world->clock().now() + minutes(5.0)));
  world->clock().run_for(minutes(1.0));
  ASSERT_NE(place().run(), nullptr) << place().trip();
  EXPECT_LT(place().run()->trace()->samples.back().amps->si(), -1.0) << "into the battery counts negative";
  ASSERT_TRUE(world->finish(bay));
  ASSERT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  EXPECT_LT(results.back().moved.si(), 0.0);
}

TEST_F(TwoQuadrantTest, finds_the_reserve_capacity) {
  bring("x", "cell:sound");
  const std::string ticket = drop_off("S-1", "flooded", 6, "reserve capacity");
  carry("x", ticket, bay);
  work(bay);
  ASSERT_EQ(results.front().run.outcome, RunOutcome::complete) << results.front().run.end_reason;
  EXPECT_NE(file(ticket).newest(Measurand::reserve_capacity), nullptr);
  EXPECT_GT(results.front().trace.samples[results.front().trace.samples.size() / 2].amps->si(), 24.0);
}

TEST_F(TwoQuadrantTest, what_a_step_left_in_its_trips_does_not_end_the_next_one) {
  bring("six", "cell:six_volt,charged=0.5,c20_ah=10");
  const std::string six = drop_off("S-6", "flooded", 3, "standard charge");
  carry("six", six, bay);
  ASSERT_EQ(world->start(bay).status, 202);
  world->clock().run_for(minutes(5.0));
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  world->clock().run_for(hours(1.1));  // the gas of the charge
  ASSERT_TRUE(world->sim().unplug(bay));
  scan(six, "shelf");
  bring("x", "cell:discharged");
  const std::string ticket = drop_off("S-1");
  carry("x", ticket, bay);
  work(bay);
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  ASSERT_EQ(world->start(bay).status, 202);
  world->clock().run_for(minutes(5.0));
  EXPECT_GT(terminals(bay).charger_amps(), Ampere(10.0)) << place().trip();
}

TEST_F(TwoQuadrantTest, is_off_at_once_when_a_person_stops) {
  begin_run("cell:sound", "reserve capacity");
  world->clock().run_for(minutes(5.0));
  ASSERT_GT(terminals(bay).load_amps(), Ampere(24.0));
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
  world->sim().terminals(bay)->settle(world->clock().now());
  EXPECT_EQ(terminals(bay).load_amps(), Ampere(0.0));
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_TRUE(place().trip().empty()) << place().trip();
}

}  // namespace
}  // namespace leadwright
