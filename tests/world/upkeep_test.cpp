// SPDX-License-Identifier: Apache-2.0
// Pausing and going on, places out of service, and what a trip keeps.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::Contains;
using testing::HasSubstr;

class UpkeepTest : public WorldTest {
 protected:
  void SetUp() override { make_world(); }
  void begin(const char* spec, const char* procedure) {
    ticket = begin_run(spec, procedure);
    world->clock().run_for(minutes(10.0));
    ASSERT_EQ(place().activity(), Activity::running) << results.back().run.end_reason;
  }
  Response say(const char* verb, const char* body = R"({"why":"the phone rings"})") {
    return world->ask(std::string("place.") + verb, bay, body);
  }
  Place& place() { return *world->bench().place(bay); }
  std::string ticket;
};

TEST_F(UpkeepTest, a_charge_is_off_while_it_stands_still_and_goes_on_where_it_was) {
  begin("cell:discharged", "standard charge");
  ASSERT_FALSE(is_off());
  ASSERT_EQ(say("pause").status, 200);
  world->clock().run_for(Second(1.5));
  EXPECT_TRUE(is_off());
  EXPECT_THAT(world->bench().snapshot(),
              HasSubstr("Stands still, everything off: paused by person P-1: the phone"));
  world->clock().run_for(hours(3.0));
  EXPECT_TRUE(is_off());
  EXPECT_EQ(place().activity(), Activity::running);
  ASSERT_EQ(say("resume").status, 200);
  world->clock().run_for(Second(5.0));
  EXPECT_FALSE(is_off());
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  const auto& entries = world->store().audit();
  EXPECT_TRUE(std::ranges::any_of(entries, [](const AuditEntry& each) {
    return each.what == "place.pause" && each.actor == "P-1" && each.why == "the phone rings";
  }));
}

TEST_F(UpkeepTest, what_was_charged_is_counted_right_across_a_pause) {
  begin("cell:discharged", "standard charge");
  world->clock().run_for(minutes(50.0));
  ASSERT_EQ(say("pause").status, 200);
  world->clock().run_for(hours(3.0));
  ASSERT_EQ(say("resume").status, 200);
  world->clock().run_for(minutes(10.0));
  ASSERT_EQ(say("stop").status, 200);
  ASSERT_TRUE(world->finish(bay));
  // 12 A for 70 minutes less the first half minute, which is a rest.
  EXPECT_NEAR(as_ampere_hours(Coulomb(0.0) - results.back().moved), 12.0 * 69.5 / 60.0, 0.1);
}

TEST_F(UpkeepTest, a_draw_can_not_be_paused_and_says_why) {
  begin("cell:sound", "reserve capacity");
  const Response paused = say("pause");
  EXPECT_EQ(paused.status, 409);
  EXPECT_THAT(paused.body, HasSubstr("only worth something in one piece"));
  EXPECT_FALSE(is_off());
}

TEST_F(UpkeepTest, the_clock_of_a_rest_stands_still_with_it) {
  begin("cell:sound", "stability rest");
  ASSERT_EQ(say("pause").status, 200);
  world->clock().run_for(hours(2.0));
  ASSERT_EQ(say("resume").status, 200);
  world->clock().run_for(minutes(45.0));
  EXPECT_EQ(place().run()->progress().step, "gas-off") << "10 + 45 of its 60 minutes";
  world->clock().run_for(minutes(10.0));
  EXPECT_EQ(place().run()->progress().step, "settle");
}

TEST_F(UpkeepTest, pausing_needs_a_reason_and_something_that_runs) {
  EXPECT_EQ(say("pause").status, 409);
  begin("cell:discharged", "standard charge");
  EXPECT_EQ(say("pause", "{}").status, 400);
  EXPECT_EQ(say("resume").status, 409);
  ASSERT_EQ(say("pause").status, 200);
  EXPECT_EQ(say("pause").status, 409);
  ASSERT_EQ(say("stop").status, 200) << "what stands still can be stopped";
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::stopped);
}

TEST_F(UpkeepTest, nothing_starts_at_a_place_out_of_service_until_it_is_back_over_a_restart_too) {
  bring("x", "cell:sound");
  ticket = drop_off("S-1");
  carry("x", ticket, bay);
  ASSERT_EQ(say("out_of_service").status, 200);
  EXPECT_EQ(place().activity(), Activity::out_of_service);
  const Response refused = world->start(bay);
  EXPECT_EQ(refused.status, 409);
  EXPECT_THAT(refused.body, HasSubstr("out of service"));
  world->kill_and_restart();
  EXPECT_EQ(place().activity(), Activity::out_of_service);
  EXPECT_EQ(world->start(bay).status, 409);
  ASSERT_EQ(say("in_service").status, 200);
  world->clock().run_for(Second(5.0));
  EXPECT_EQ(world->start(bay).status, 202);
}

TEST_F(UpkeepTest, a_place_does_not_go_out_of_service_under_a_run) {
  begin("cell:sound", "reserve capacity");
  EXPECT_EQ(say("out_of_service").status, 409);
}

TEST_F(UpkeepTest, a_trip_names_its_run_and_its_samples_are_kept_though_the_daemon_dies) {
  begin("cell:sound", "reserve capacity");
  Terminals& posts = *world->sim().terminals(bay);
  posts.settle(world->clock().now());
  posts.load.over_amps.limit.reset();
  posts.load.draw = Ampere(40.0);
  posts.changed();
  ASSERT_TRUE(world->clock().run_until([this] { return is_off(); }, world->clock().now() + Second(2.0)));
  world->clock().run_for(Second(0.05));
  world->kill_and_restart();
  EXPECT_THAT(place().trip(), HasSubstr("above the limit of 27.000 A (R-000001, "));
  EXPECT_THAT(place().trip(), HasSubstr(" s of its trace)"));
  EXPECT_THAT(world->bench().snapshot(), HasSubstr("of its trace)"));
  EXPECT_THAT(world->bench().snapshot(), HasSubstr(R"("said":[{"code":"above_limit","values":{"value":)"))
      << "for readers of other languages, after a restart too";
  const auto trace = world->store().trace(RunId{1});
  ASSERT_TRUE(trace);
  ASSERT_FALSE(trace->empty());
  EXPECT_NEAR(trace->back().amps->si(), 40.0, 0.1) << "the sample that tripped it";
  const auto minute_ago = trace->back().at - Second(60.0);
  EXPECT_TRUE(
      std::ranges::any_of(*trace, [minute_ago](const Sample& each) { return each.at <= minute_ago; }));
}

TEST_F(UpkeepTest, somebody_is_called_for_a_trip_until_it_is_acknowledged) {
  std::vector<AlarmCall> calls;
  world->bench().call_on_alarm([&calls](const AlarmCall& call) { calls.push_back(call); });
  ASSERT_EQ(world->ask("alarm.test").status, 200);
  ASSERT_EQ(calls.size(), 1U);
  EXPECT_EQ(calls[0].what, "a test of the alarm by person P-1");
  begin("cell:sound", "reserve capacity");
  world->sim().instrument("bay-1.load")->set_fault(SimInstrument::Fault::stuck_reading, true);
  ASSERT_TRUE(world->finish(bay, minutes(10.0)));
  world->clock().run_for(Second(1.1));
  ASSERT_EQ(calls.size(), 2U);
  EXPECT_EQ(calls[1].kind, AlarmCall::Kind::begun);
  EXPECT_EQ(calls[1].place, bay);
  EXPECT_THAT(calls[1].what, HasSubstr("frozen"));
  world->clock().run_for(minutes(5.0));
  EXPECT_EQ(calls.size(), 3U);
  world->sim().instrument("bay-1.load")->set_fault(SimInstrument::Fault::stuck_reading, false);
  world->clock().run_for(minutes(1.0));
  ASSERT_EQ(say("acknowledge", R"({"of":"trip","why":"seen"})").status, 200);
  world->clock().run_for(hours(1.0));
  EXPECT_EQ(calls.size(), 3U);
}

TEST_F(UpkeepTest, a_test_of_the_alarm_says_so_where_nobody_would_be_called) {
  const Response tested = world->ask("alarm.test");
  EXPECT_EQ(tested.status, 409);
  EXPECT_THAT(tested.body, HasSubstr("no alarm command is configured"));
}

}  // namespace
}  // namespace leadwright
