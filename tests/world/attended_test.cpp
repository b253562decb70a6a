// SPDX-License-Identifier: Apache-2.0
// A place that is attended only: energised while a person has lately said to be there, and no longer.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class AttendedTest : public WorldTest {
 protected:
  void SetUp() override {
    WorldOptions options;
    options.attended_only = true;
    make_world(std::move(options));
    ticket = begin_run("cell:sound", "reserve capacity");
  }
  Place& place() { return *world->bench().place(bay); }
  Response confirm() { return world->ask("place.acknowledge", bay, R"({"of":"presence"})"); }
  std::string ticket;
};

TEST_F(AttendedTest, asks_before_the_time_is_up_and_goes_on_when_a_person_confirms) {
  world->clock().run_for(minutes(26.0));
  ASSERT_TRUE(place().ask());
  EXPECT_EQ(place().ask()->of, AskOf::presence);
  EXPECT_EQ(place().activity(), Activity::running) << "the run goes on while it asks";
  EXPECT_THAT(world->bench().snapshot(), HasSubstr(R"("of":"presence")"));
  ASSERT_EQ(confirm().status, 200);
  EXPECT_FALSE(place().ask());
  world->clock().run_for(minutes(20.0));
  EXPECT_GT(drawn(bay), Ampere(24.0));
}

TEST_F(AttendedTest, switches_off_when_nobody_confirms) {
  world->clock().run_for(minutes(29.9));
  EXPECT_GT(drawn(bay), Ampere(24.0));
  world->clock().run_for(minutes(0.2));
  EXPECT_EQ(drawn(bay), Ampere(0.0));
  world->clock().run_for(Second(10.0));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::stopped);
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("nobody has confirmed to be at bay-1 for 30 minutes"));
  EXPECT_EQ(file(ticket).ticket.state, TicketState::waiting);
  EXPECT_FALSE(file(ticket).grade);
}

TEST_F(AttendedTest, a_start_by_a_person_counts_as_being_there) {
  world->clock().run_for(minutes(40.0));
  ASSERT_NE(place().activity(), Activity::running);
  EXPECT_EQ(world->start(bay).status, 202);
}

TEST_F(AttendedTest, what_follows_by_itself_does_not_start_in_an_empty_room) {
  for (int half_hour = 0; half_hour < 8 && place().activity() == Activity::running; ++half_hour) {
    ASSERT_EQ(confirm().status, 200);
    world->clock().run_for(minutes(20.0));
  }
  ASSERT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  const std::size_t ended = results.size();
  world->clock().run_for(hours(2.0));
  RunOrder order;
  order.procedure = results.empty() ? nullptr : std::make_shared<const Procedure>();
  const Result<void> started = place().start(std::move(order));
  ASSERT_FALSE(started);
  EXPECT_THAT(started.error().what, HasSubstr("nobody has confirmed"));
  EXPECT_EQ(results.size(), ended);
}

}  // namespace
}  // namespace leadwright
