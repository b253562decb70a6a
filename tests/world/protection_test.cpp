// SPDX-License-Identifier: Apache-2.0
// Protection of the whole daemon: what happens at the terminals when something breaks while energy flows.
#include <utility>

#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

/// Profile limit of the simulated load and the time that its bytes may take on top (reliability.md, row 2).
constexpr Second off_within{1.0 + 0.1};

class Protection : public WorldTest {
 protected:
  void SetUp() override { make_world(); }

  /// A sound battery in mid-discharge at 25 A.
  void begin_discharge() {
    ticket = begin_run("cell:sound", "reserve capacity");
    ASSERT_TRUE(world->clock().run_until([this] { return terminals(bay).load_amps() > Ampere(24.0); },
                                         world->clock().now() + minutes(30.0)));
    world->clock().run_for(minutes(5.0));
    ASSERT_GT(terminals(bay).load_amps(), Ampere(24.0));
  }
  SimInstrument& load() { return *world->sim().instrument("bay-1.load"); }
  std::string ticket;
};

TEST_F(Protection, turns_off_when_no_reading_comes_within_the_profiles_limit) {
  begin_discharge();
  load().set_fault(SimInstrument::Fault::no_answer, true);
  world->clock().run_for(off_within);
  EXPECT_TRUE(is_off());
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  EXPECT_THAT(world->bench().place(bay)->trip(), HasSubstr("no good reading"));
}

TEST_F(Protection, a_machine_that_slept_in_mid_draw_wakes_up_to_a_tripped_place_and_no_finding) {
  begin_discharge();
  world->clock().stand_still(minutes(10.0));
  world->clock().run_for(off_within);
  EXPECT_TRUE(is_off());
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  EXPECT_THAT(world->bench().place(bay)->trip(), HasSubstr("no good reading for 60"));
  EXPECT_TRUE(results.back().findings.empty());
}

TEST_F(Protection, a_reading_that_comes_after_its_deadline_trips_though_it_comes) {
  bool is_asked = false;
  Second late{0.0};
  WorldOptions options;
  options.tap = [this, &is_asked, &late](const std::string& link, bool outward, std::string_view bytes,
                                         Instant) {
    if (link.find("bay-1.load") == std::string::npos) return;
    if (outward) is_asked = bytes.find("MEAS:VOLT?") != std::string_view::npos;
    // The process stands still as it takes the answer, and hears it before the deadman fires.
    if (!outward && is_asked) world->clock().fall_behind(std::exchange(late, Second(0.0)));
  };
  make_world(std::move(options));
  begin_discharge();
  late = Second(0.4);
  world->clock().run_for(Second(2.0));
  ASSERT_EQ(late, Second(0.0));
  EXPECT_FALSE(is_off()) << "within the second of the profile";
  late = Second(0.95);
  world->clock().run_for(Second(2.0));
  EXPECT_TRUE(is_off());
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  EXPECT_THAT(world->bench().place(bay)->trip(), HasSubstr("no good reading for 1."));
}

TEST_F(Protection, a_date_that_is_set_in_mid_draw_changes_no_minute_of_the_finding) {
  const auto minutes_after = [this](Second step) {
    begin_discharge();
    world->clock().step_utc(step);
    EXPECT_TRUE(world->finish(bay, hours(6.0)));
    const auto& found = results.back().findings;
    const auto reserve = std::ranges::find(found, Measurand::reserve_capacity, &Finding::measurand);
    return reserve == found.end() ? 0.0 : reserve->value;
  };
  const double undisturbed = minutes_after(Second(0.0));
  EXPECT_GT(undisturbed, 60.0);
  make_world();
  EXPECT_EQ(minutes_after(hours(-7.0)), undisturbed);
}

TEST_F(Protection, turns_off_when_the_reading_is_frozen) {
  begin_discharge();
  load().set_fault(SimInstrument::Fault::stuck_reading, true);
  ASSERT_TRUE(world->finish(bay, minutes(10.0)));
  EXPECT_TRUE(is_off());
  EXPECT_EQ(world->bench().place(bay)->activity(), Activity::tripped);
  EXPECT_THAT(world->bench().place(bay)->trip(), HasSubstr("frozen"));
}

TEST_F(Protection, says_aloud_when_off_can_not_be_verified) {
  begin_discharge();
  load().set_fault(SimInstrument::Fault::ignores_off, true);
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_EQ(world->bench().place(bay)->activity(), Activity::tripped);
  EXPECT_THAT(world->bench().place(bay)->trip(), HasSubstr("off could not be verified"));
  EXPECT_THAT(world->bench().snapshot(), HasSubstr("off could not be verified"));
}

TEST_F(Protection, a_person_stops_a_run_at_once_and_it_is_not_graded) {
  begin_discharge();
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"smell"})").status, 200);
  EXPECT_TRUE(is_off());
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::stopped);
  EXPECT_TRUE(results.back().findings.empty());
  EXPECT_FALSE(file(ticket).grade);
}

TEST_F(Protection, stop_all_is_off_before_the_request_returns_and_latches_the_place) {
  begin_discharge();
  ASSERT_EQ(world->ask("stop.all").status, 200);
  EXPECT_TRUE(is_off());
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_EQ(world->bench().place(bay)->activity(), Activity::tripped);
  EXPECT_EQ(world->start(bay).status, 409);
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"trip","why":"looked at it"})").status, 200);
  EXPECT_EQ(world->bench().place(bay)->activity(), Activity::ready);
}

TEST_F(Protection, a_breach_of_the_envelope_is_off_at_once_latches_and_leaves_no_grade) {
  bring("x", "cell:sound,ambient_degc=55");
  ticket = drop_off("S-1", "flooded", 6, "reserve capacity");
  carry("x", ticket, bay);
  ASSERT_EQ(world->start(bay).status, 202);
  ASSERT_TRUE(world->finish(bay, minutes(10.0)));
  EXPECT_TRUE(is_off());
  EXPECT_EQ(world->bench().place(bay)->activity(), Activity::tripped);
  EXPECT_THAT(world->bench().place(bay)->trip(), HasSubstr("above the limit of 50.0 degC"));
  EXPECT_FALSE(file(ticket).grade);
  EXPECT_EQ(world->start(bay).status, 409) << "a trip stays until a person acknowledges it";
}

TEST_F(Protection, a_current_above_the_envelope_in_mid_draw_is_off_within_one_sample) {
  begin_discharge();
  Terminals& posts = *world->sim().terminals(bay);
  posts.settle(world->clock().now());
  posts.load.over_amps.limit.reset();
  posts.load.draw = Ampere(40.0);
  posts.changed();
  // The sampling period of the draw, never slower than a third of the profile's second, and 100 ms for the
  // bytes.
  world->clock().run_for(Second(0.5 + 0.1));
  EXPECT_TRUE(is_off());
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_THAT(world->bench().place(bay)->trip(), HasSubstr("above the limit of"));
}

TEST_F(Protection, a_clamp_that_flickers_is_not_taken_for_the_end_of_the_battery) {
  begin_discharge();
  // What a load sees of a clamp that lets go for a moment: its cut-off acts, then the battery is there again.
  Terminals& posts = *world->sim().terminals(bay);
  posts.settle(world->clock().now());
  posts.load.cutoff.tripped = true;
  posts.load.on = false;
  posts.changed();
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_TRUE(is_off());
  EXPECT_NE(results.back().run.outcome, RunOutcome::complete);
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("check the clamps"));
}

TEST_F(Protection, two_stopped_draws_count_together_against_leaving_without_a_recharge) {
  begin_discharge();
  for (int draw = 0; draw < 2; ++draw) {
    if (draw == 1) {
      ASSERT_EQ(world->start(bay).status, 202);
    }
    world->clock().run_for(minutes(22.0));
    ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
    ASSERT_TRUE(world->finish(bay, minutes(1.0)));
    EXPECT_EQ(file(ticket).ticket.needs_recharge, draw == 1);
  }
  EXPECT_EQ(world->ask("ticket.close", ticket, R"({"as":"handed_back"})").status, 409);
}

TEST_F(Protection, an_instrument_that_was_restarted_ends_the_run) {
  begin_discharge();
  load().power_cycle();
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_TRUE(is_off());
  EXPECT_NE(results.back().run.outcome, RunOutcome::complete);
}

TEST_F(Protection, a_trip_stays_latched_over_a_restart_of_the_daemon) {
  begin_discharge();
  load().set_fault(SimInstrument::Fault::stuck_reading, true);
  ASSERT_TRUE(world->finish(bay, minutes(10.0)));
  load().set_fault(SimInstrument::Fault::stuck_reading, false);
  world->clock().run_for(minutes(1.0));
  world->kill_and_restart();
  EXPECT_EQ(world->bench().place(bay)->activity(), Activity::tripped);
  EXPECT_EQ(world->start(bay).status, 409);
}

TEST_F(Protection, a_store_that_fails_brings_the_place_to_rest_and_says_so) {
  begin_discharge();
  StorePlan broken;
  broken.fail_share = 1.0;
  world->store().change_plan(broken);
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  EXPECT_TRUE(is_off());
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("store"));
  world->clock().run_for(minutes(1.0));
  EXPECT_THAT(world->bench().snapshot(), HasSubstr("the store failed"));
}

TEST_F(Protection, off_follows_the_refusal_of_the_store_and_does_not_wait_for_the_next_reading) {
  bool is_asked = false;
  Instant reading;
  WorldOptions options;
  options.tap = [&is_asked, &reading](const std::string& link, bool outward, std::string_view bytes,
                                      Instant at) {
    if (link.find("bay-1.load") == std::string::npos) return;
    if (outward) is_asked = bytes.find("MEAS:VOLT?") != std::string_view::npos;
    const bool still_draws = bytes.find(";0.000") == std::string_view::npos;
    if (!outward && is_asked && still_draws) reading = at;
  };
  make_world(std::move(options));
  begin_discharge();
  StorePlan full;
  full.fail_share = 1.0;
  full.latency_min = full.latency_max = Second(0.03);
  world->store().change_plan(full);
  ASSERT_TRUE(world->clock().run_until([this] { return is_off(); }, world->clock().now() + minutes(2.0)));
  // The block goes to the store with a reading and is refused 0.03 s later, long before the next one.
  EXPECT_NEAR((world->clock().now() - reading).si(), 0.03, 0.01);
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("the store can't keep the trace: the disk failed"));
}

TEST_F(Protection, a_disk_that_fails_for_days_lets_nothing_new_begin_and_still_stops_everything) {
  begin_discharge();
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
  ASSERT_TRUE(world->finish(bay));
  StorePlan broken;
  broken.fail_share = 1.0;
  world->store().change_plan(broken);
  for (std::size_t i = 0; i < Unsaved::full_at; ++i) world->ask("stop.all", "", "{}");
  world->clock().run_for(minutes(1.0));
  for (const char* verb : {"ticket.add", "place.start", "ticket.move"}) {
    const Response refused = world->ask(verb, ticket, "{}");
    EXPECT_EQ(refused.status, 503) << verb;
    EXPECT_THAT(refused.body, AllOf(HasSubstr("nothing new begins"), HasSubstr("mend the disk")));
  }
  EXPECT_EQ(world->ask("stop.all", "", "{}").status, 200);
  EXPECT_EQ(world->ask("ticket.list", "", "{}").status, 200);
  world->store().change_plan(StorePlan{});
  world->clock().run_for(Second(5.0));
  EXPECT_EQ(world->ask("ticket.hold", ticket, R"({"until":"2030-01-01"})").status, 200);
  EXPECT_GT(world->store().audit().size(), Unsaved::full_at);
}

TEST_F(Protection, what_the_store_refused_is_written_when_the_disk_is_well_again) {
  bring("x", "cell:sound");
  ticket = drop_off("S-1", "flooded", 6, "intake check");
  carry("x", ticket, bay);
  ASSERT_EQ(world->start(bay).status, 202);
  ASSERT_TRUE(world->clock().run_until([this] { return !is_off(); }, world->clock().now() + minutes(5.0)));
  world->clock().run_for(Second(59.0));
  StorePlan broken;
  broken.fail_share = 1.0;
  // The trace is written once more before the end, and the end itself is refused.
  ASSERT_TRUE(world->clock().run_until([this] { return is_off(); }, world->clock().now() + minutes(1.0)));
  world->clock().run_for(Second(29.0));
  world->store().change_plan(broken);
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  ASSERT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  world->clock().run_for(Second(10.0));
  EXPECT_EQ(world->ask("ticket.hold", ticket, R"({"until":"2030-01-01"})").status, 503);
  world->store().change_plan(StorePlan{});
  world->clock().run_for(Second(2.0));
  EXPECT_THAT(world->bench().snapshot(), Not(HasSubstr("the store failed")));
  world->kill_and_restart();
  EXPECT_TRUE(file(ticket).grade);
  EXPECT_EQ(file(ticket).runs.back().outcome, RunOutcome::complete);
  EXPECT_EQ(file(ticket).ticket.state, TicketState::held)
      << "as it was last, and not as it was refused first";
}

TEST_F(Protection, a_closed_ticket_stays_closed_though_the_end_of_its_run_was_lost) {
  begin_discharge();
  world->kill();
  const auto stored = world->store().load();
  Ticket closed = stored->tickets.back();
  closed.state = TicketState::closed;
  world->store().write({closed}, {});
  world->clock().run_for(Second(1.0));
  world->restart();
  EXPECT_EQ(file(ticket).ticket.state, TicketState::closed);
  EXPECT_EQ(file(ticket).runs.back().outcome, RunOutcome::void_);
}

TEST_F(Protection, a_battery_that_was_drawn_on_after_a_trip_is_recharged_before_it_leaves) {
  begin_discharge();
  world->cable("bay-1.load").pull();
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  ASSERT_EQ(results.back().run.outcome, RunOutcome::tripped);
  world->clock().run_for(minutes(30.0));
  EXPECT_EQ(world->ask("ticket.close", ticket, R"({"as":"handed_back"})").status, 409);
}

TEST_F(Protection, a_slow_store_does_not_disturb_a_run) {
  begin_discharge();
  StorePlan slow;
  slow.stall_share = 1.0;
  slow.stall = Second(2.0);
  world->store().change_plan(slow);
  world->clock().run_for(minutes(5.0));
  EXPECT_FALSE(is_off());
}

TEST_F(Protection, no_procedure_however_it_is_called_energises_a_battery_with_a_proven_fault) {
  bring("x", "cell:shorted_cell");
  ticket = drop_off("S-1");
  carry("x", ticket, bay);
  ASSERT_EQ(world->start(bay).status, 202);
  ASSERT_TRUE(world->finish(bay));
  ASSERT_FALSE(file(ticket).faults.empty());
  for (const char* procedure : {"standard charge", "recharge before leaving", "reserve capacity"}) {
    EXPECT_EQ(world->start(bay, procedure).status, 409) << procedure;
  }
}

TEST_F(Protection, an_unclamped_battery_ends_the_draw) {
  begin_discharge();
  ASSERT_TRUE(world->sim().unplug(bay));
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_TRUE(is_off());
  EXPECT_NE(results.back().run.outcome, RunOutcome::complete);
}

TEST_F(Protection, a_battery_that_was_unclamped_from_its_charger_does_not_count_as_full) {
  bring("x", "cell:discharged");
  ticket = drop_off("S-1", "flooded", 6, "standard charge");
  carry("x", ticket, bay);
  ASSERT_EQ(world->start(bay).status, 202);
  world->clock().run_for(minutes(10.0));
  ASSERT_GT(terminals(bay).charger_amps(), Ampere(1.0));
  ASSERT_TRUE(world->sim().unplug(bay));
  ASSERT_TRUE(world->finish(bay, Second(10.0)));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::stopped);
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("check the clamps"));
}

TEST_F(Protection, the_cut_off_of_an_earlier_draw_does_not_end_a_later_one_of_fewer_cells) {
  begin_discharge();
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  ASSERT_TRUE(world->sim().unplug(bay));
  scan(ticket, "shelf");
  bring("six", "cell:six_volt");
  const std::string six = drop_off("S-6", "flooded", 3, "intake check");
  carry("six", six, bay);
  work(bay);
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
}

TEST_F(Protection, a_killed_daemon_comes_back_with_everything_off_and_the_run_void) {
  begin_discharge();
  ASSERT_FALSE(is_off());
  world->kill_and_restart();
  EXPECT_TRUE(is_off());
  const leadwright::Run& run = file(ticket).runs.back();
  EXPECT_EQ(run.outcome, RunOutcome::void_);
  EXPECT_THAT(run.end_reason, HasSubstr("the daemon stopped"));
  EXPECT_EQ(file(ticket).ticket.state, TicketState::waiting);
  const auto next = next_work(file(ticket), Policy{});
  ASSERT_TRUE(next);
  EXPECT_EQ(next->procedure, "reserve capacity");
}

TEST_F(Protection, load_and_charger_are_never_on_together) {
  bring("x", "cell:discharged");
  ticket = drop_off("S-1");
  carry("x", ticket, bay);
  ASSERT_EQ(world->start(bay).status, 202);
  bool together = false;
  world->clock().run_until(
      [&] {
        together |= terminals(bay).load.on && terminals(bay).charger.on;
        return world->bench().place(bay)->activity() != Activity::running;
      },
      world->clock().now() + hours(30.0));
  EXPECT_FALSE(together);
}

}  // namespace
}  // namespace leadwright
