// SPDX-License-Identifier: Apache-2.0
// The chain from drop-off to grade, as the whole daemon walks it in a virtual world.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class Chain : public WorldTest {
 protected:
  void SetUp() override { make_world(); }

  /// A bench hand: carries the battery to where the plan wants it and starts, until a grade exists.
  Grade graded(const std::string& ticket) { return file(ticket).grade.value_or(Grade{}); }
  void walk_to_grade(const std::string& battery, const std::string& ticket) {
    for (int hand = 0; hand < 12 && !file(ticket).grade; ++hand) {
      const auto next = next_work(file(ticket), policy);
      ASSERT_TRUE(next);
      const std::string to = next->place_kind == PlaceKind::bay ? bay : charging;
      if (file(ticket).ticket.place != to) carry(battery, ticket, to);
      work(to);
      ASSERT_EQ(results.back().run.outcome, RunOutcome::complete)
          << results.back().run.procedure << ": " << results.back().run.end_reason;
    }
    ASSERT_TRUE(file(ticket).grade);
  }
  Policy policy;
};

TEST_F(Chain, a_sound_battery_reaches_a_good_grade_within_its_stated_uncertainty) {
  bring("x", "cell:sound");
  const double truth_min = as_minutes(world->sim().battery("x")->battery->truth_at_25a());
  const std::string ticket = drop_off("S-1");
  walk_to_grade("x", ticket);
  EXPECT_THAT(std::string("AB"), HasSubstr(std::string(1, graded(ticket).letter))) << graded(ticket).reason;
  const Finding* minutes = file(ticket).newest(Measurand::reserve_capacity);
  ASSERT_NE(minutes, nullptr);
  // The battery stood some hours and gave the tests before a little: within 3 % of its truth.
  EXPECT_NEAR(minutes->value, truth_min, 0.03 * truth_min);
}

TEST_F(Chain, a_battery_that_is_only_discharged_is_charged_and_rested_before_it_is_judged) {
  bring("x", "cell:discharged");
  const std::string ticket = drop_off("S-1");
  walk_to_grade("x", ticket);
  std::vector<std::string> procedures;
  for (const leadwright::Run& run : file(ticket).runs) procedures.push_back(run.procedure);
  EXPECT_THAT(procedures, testing::ElementsAre("intake check", "standard charge", "stability rest",
                                               "internal resistance", "reserve capacity"));
  EXPECT_THAT(std::string("AB"), HasSubstr(std::string(1, graded(ticket).letter))) << graded(ticket).reason;
}

TEST_F(Chain, a_battery_drawn_down_by_a_test_leaves_only_after_a_recharge) {
  bring("x", "cell:sound");
  const std::string ticket = drop_off("S-1");
  walk_to_grade("x", ticket);
  const Response early = world->ask("ticket.close", ticket, R"({"as":"handed_back"})");
  EXPECT_EQ(early.status, 409);
  EXPECT_THAT(early.body, HasSubstr("recharge before leaving"));
  carry("x", ticket, charging);
  work(charging);
  ASSERT_EQ(results.back().run.procedure, "recharge before leaving");
  ASSERT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  EXPECT_EQ(world->ask("ticket.close", ticket, R"({"as":"handed_back"})").status, 409) << "gas";
  world->clock().run_for(hours(1.0));
  EXPECT_EQ(world->ask("ticket.close", ticket, R"({"as":"handed_back"})").status, 200);
}

TEST_F(Chain, a_shorted_cell_is_found_at_intake_and_never_charged) {
  bring("x", "cell:shorted_cell");
  const std::string ticket = drop_off("S-1");
  walk_to_grade("x", ticket);
  EXPECT_EQ(graded(ticket).letter, 'F');
  ASSERT_FALSE(file(ticket).faults.empty());
  EXPECT_EQ(file(ticket).faults[0].kind, FaultKind::shorted_cell) << file(ticket).faults[0].evidence;
  carry("x", ticket, charging);
  EXPECT_EQ(world->start(charging, "standard charge").status, 409);
}

TEST_F(Chain, an_open_joint_ends_the_ramp_before_the_full_current_and_blames_the_clamps_first) {
  bring("x", "cell:open");
  const std::string ticket = drop_off("S-1");
  carry("x", ticket, bay);
  work(bay);
  EXPECT_EQ(results.back().run.outcome, RunOutcome::stopped);
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("check the clamps first"));
  for (const Sample& sample : results.back().trace.samples) EXPECT_LT(sample.amps->si(), 5.5);
}

TEST_F(Chain, a_worn_battery_is_graded_below_a_sound_one) {
  bring("x", "cell:worn");
  const std::string ticket = drop_off("S-1");
  walk_to_grade("x", ticket);
  EXPECT_THAT(std::string("CD"), HasSubstr(std::string(1, graded(ticket).letter))) << graded(ticket).reason;
}

TEST_F(Chain, the_second_ticket_of_a_battery_links_to_the_first) {
  const std::string first = drop_off("S-1");
  const std::string second = drop_off("S-1");
  ASSERT_TRUE(file(second).ticket.previous);
  EXPECT_EQ(shown(*file(second).ticket.previous), first);
  EXPECT_EQ(file(first).ticket.battery, file(second).ticket.battery);
}

TEST_F(Chain, a_ticket_that_is_held_until_a_day_waits_again_when_the_day_has_come) {
  const std::string ticket = drop_off("S-1");
  ASSERT_EQ(
      world->ask("ticket.hold", ticket, R"({"until":"2026-01-03","why":"the customer is away"})").status,
      200);
  world->clock().run_for(hours(47.0));
  EXPECT_EQ(file(ticket).ticket.state, TicketState::held);
  world->clock().run_for(hours(2.0));
  EXPECT_EQ(file(ticket).ticket.state, TicketState::waiting);
}

TEST_F(Chain, a_graded_ticket_that_was_held_is_graded_again_when_it_is_taken_up) {
  bring("x", "cell:worn");
  const std::string ticket = drop_off("S-1");
  walk_to_grade("x", ticket);
  const char letter = graded(ticket).letter;
  const std::string held = R"({"until":"2027-01-03","why":"the supplier wants to see it"})";
  ASSERT_EQ(world->ask("ticket.hold", ticket, held).status, 200);
  ASSERT_EQ(world->ask("ticket.recheck", ticket).status, 200);
  EXPECT_EQ(file(ticket).ticket.state, TicketState::graded);
  EXPECT_EQ(graded(ticket).letter, letter);
}

TEST_F(Chain, every_change_has_an_audit_row_with_its_actor) {
  bring("x", "cell:sound");
  const std::string ticket = drop_off("S-1");
  carry("x", ticket, bay);
  work(bay);
  world->clock().run_for(minutes(1.0));
  std::vector<std::string> done;
  for (const AuditEntry& entry : world->store().audit()) {
    EXPECT_FALSE(entry.actor.empty());
    done.push_back(entry.what);
  }
  for (const char* what : {"ticket.add", "ticket.move", "place.acknowledge.cautions", "run.start"}) {
    EXPECT_THAT(done, testing::Contains(what));
  }
}

}  // namespace
}  // namespace leadwright
