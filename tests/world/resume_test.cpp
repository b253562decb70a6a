// SPDX-License-Identifier: Apache-2.0
// Runs that survive their daemon: what goes on, what is void, and what is said of it.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class ResumeTest : public WorldTest {
 protected:
  void SetUp() override { make_world(); }
  void begin(const char* spec, const char* procedure, Second until) {
    ticket = begin_run(spec, procedure);
    world->clock().run_for(until);
    ASSERT_EQ(place().activity(), Activity::running) << results.back().run.end_reason;
  }
  /// Dead for that long, then as long again as connecting and settling need.
  void die(Second dead_for = Second(5.0)) {
    world->kill();
    world->clock().run_for(dead_for);
    begin_again();
  }
  void begin_again() {
    world->restart();
    world->bench().on_run_ended = [this](const Place&, const RunResult& result) {
      results.push_back(result);
    };
    EXPECT_TRUE(is_off()) << "safe before anything else";
    world->clock().run_for(Second(70.0));
  }
  void expect_void(const char* why) {
    EXPECT_EQ(place().run(), nullptr);
    EXPECT_TRUE(is_off());
    ASSERT_FALSE(file(ticket).runs.empty());
    EXPECT_EQ(file(ticket).runs.back().outcome, RunOutcome::void_);
    EXPECT_THAT(file(ticket).runs.back().end_reason, HasSubstr(why));
    EXPECT_EQ(file(ticket).ticket.state, TicketState::waiting);
    EXPECT_EQ(audited("run.resume"), 0);
    EXPECT_EQ(audited("run.void"), 1);
  }
  std::ptrdiff_t audited(const std::string& what) {
    return std::ranges::count(world->store().audit(), what, &AuditEntry::what);
  }
  Place& place() { return *world->bench().place(bay); }
  std::string ticket;
};

const Finding* finding_of(const RunResult& result, Measurand measurand) {
  const auto found = std::ranges::find(result.findings, measurand, &Finding::measurand);
  return found == result.findings.end() ? nullptr : &*found;
}

TEST_F(ResumeTest, a_charge_goes_on_where_it_stood_and_its_ampere_hours_are_right) {
  begin("cell:discharged", "standard charge", minutes(70.0));
  die();
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  world->clock().run_for(Second(5.0));
  EXPECT_FALSE(is_off());
  EXPECT_EQ(audited("run.resume"), 1);
  ASSERT_TRUE(world->finish(bay));
  const RunResult& result = results.back();
  EXPECT_EQ(result.run.outcome, RunOutcome::complete) << result.run.end_reason;
  EXPECT_THAT(result.run.end_reason, HasSubstr("resumed after an interruption of"));
  EXPECT_EQ(result.interruptions, 1);
  const Finding* returned = finding_of(result, Measurand::returned);
  ASSERT_NE(returned, nullptr);
  EXPECT_THAT(returned->conditions, HasSubstr("resumed after an interruption of"));
  EXPECT_EQ(returned->budget.back().quantity, "interruption");
  EXPECT_NEAR(returned->value, -as_ampere_hours(result.moved), 0.01) << "both parts, and nothing of the gap";
  EXPECT_GT(result.unmeasured, Coulomb(0.0));
  world->clock().run_for(Second(1.0));
  const auto trace = world->store().trace(result.run.id);
  ASSERT_TRUE(trace);
  EXPECT_EQ(trace->size(), result.trace.samples.size()) << "no sample is lost or written twice";
  Second widest{0.0};
  for (std::size_t at = 1; at < trace->size(); ++at)
    widest = std::max(widest, (*trace)[at].at - (*trace)[at - 1].at);
  EXPECT_GT(widest, Second(60.0)) << "the gap shows";
}

TEST_F(ResumeTest, a_charge_killed_in_any_of_its_steps_ends_with_a_full_battery) {
  begin("cell:discharged", "standard charge", Second(15.0));
  die();
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  EXPECT_EQ(place().run()->progress().step, "charge") << "15 of the 30 s of its rest were over";
  world->clock().run_for(hours(1.0));
  die();
  world->clock().run_for(hours(4.0));
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  die();
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  EXPECT_EQ(results.back().interruptions, 3);
  EXPECT_FALSE(file(ticket).ticket.needs_recharge);
}

TEST_F(ResumeTest, what_a_charger_gave_while_no_daemon_lived_is_bounded_and_stands_in_the_uncertainty) {
  begin("cell:discharged", "standard charge", minutes(30.0));
  world->kill();
  world->clock().run_for(minutes(10.0));
  EXPECT_FALSE(is_off()) << "nothing told it";
  begin_again();
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  world->clock().run_for(minutes(2.0));
  EXPECT_TRUE(is_off()) << "on a charge its volts could be those of another battery";
  EXPECT_EQ(world->ask("place.resume", bay, R"({"why":"its label is the ticket's"})").status, 200);
  ASSERT_TRUE(world->finish(bay));
  const RunResult& result = results.back();
  ASSERT_EQ(result.run.outcome, RunOutcome::complete) << result.run.end_reason;
  EXPECT_GE(result.unmeasured, Ampere(12.0) * minutes(10.0));
  const Finding* returned = finding_of(result, Measurand::returned);
  ASSERT_NE(returned, nullptr);
  EXPECT_GT(returned->u, 12.0 * 10.0 / 60.0 / 1.7321);
  EXPECT_THAT(returned->conditions, HasSubstr("Ah went in unmeasured"));
}

TEST_F(ResumeTest, what_may_have_gone_in_unmeasured_counts_as_put_in_for_the_limits) {
  begin("cell:discharged", "standard charge", minutes(30.0));
  world->kill();
  world->clock().run_for(Second(5.0));
  RunJournal journal = world->store().load()->journals.at(0).journal;
  // The limit of a 60 Ah battery is 120 Ah, of which 6 were measured.
  journal.unmeasured = ampere_hours(110.0);
  world->store().write({journal}, {});
  world->clock().run_for(Second(1.0));
  begin_again();
  world->clock().run_for(hours(1.0));
  EXPECT_EQ(place().activity(), Activity::tripped);
  EXPECT_THAT(place().trip(), HasSubstr("above the limit of 120.0 Ah"));
  EXPECT_TRUE(is_off());
}

TEST_F(ResumeTest, a_rest_only_gets_longer) {
  begin("cell:sound", "stability rest", minutes(40.0));
  die(minutes(10.0));
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  world->clock().run_for(minutes(15.0));
  EXPECT_EQ(place().run()->progress().step, "gas-off") << "40 and 16 of its 60 minutes";
  world->clock().run_for(minutes(10.0));
  EXPECT_EQ(place().run()->progress().step, "settle");
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  const Finding* ocv = finding_of(results.back(), Measurand::ocv);
  ASSERT_NE(ocv, nullptr);
  EXPECT_THAT(ocv->conditions, HasSubstr("resumed after an interruption of"));
}

TEST_F(ResumeTest, a_discharge_is_never_stitched) {
  begin("cell:sound", "reserve capacity", minutes(20.0));
  die();
  expect_void("the daemon stopped during this run");
  EXPECT_TRUE(file(ticket).ticket.needs_recharge);
}

TEST_F(ResumeTest, the_discharge_of_a_procedure_that_goes_on_is_void_all_the_same) {
  bring("x", "cell:sound");
  ticket = drop_off("S-1", "flooded", 6, "conditioning cycle");
  carry("x", ticket, bay);
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"cautions"})").status, 200);
  ASSERT_EQ(world->ask("place.start", bay, R"({"consented_by":"A. Owner"})").status, 202);
  ASSERT_TRUE(world->clock().run_until([this] { return drawn(bay) > Ampere(2.0); },
                                       world->clock().now() + hours(40.0)));
  world->clock().run_for(Second(0.5));
  EXPECT_TRUE(world->store().load()->journals.empty());
  die();
  expect_void("the daemon stopped during this run");
}

TEST_F(ResumeTest, an_interruption_that_is_too_long_makes_it_void) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  die(minutes(16.0));
  expect_void("longer than the 15 min");
}

TEST_F(ResumeTest, what_is_not_ready_in_time_makes_it_void) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  world->kill();
  world->sim().instrument("bay-1.charger")->set_fault(SimInstrument::Fault::no_answer, true);
  world->begin();
  world->clock().run_for(minutes(5.0));
  EXPECT_EQ(file(ticket).ticket.state, TicketState::charging) << "it waits";
  EXPECT_EQ(world->start(bay).status, 409);
  EXPECT_EQ(world->ask("ticket.move", ticket, R"({"place":"shelf"})").status, 409);
  world->clock().run_for(minutes(12.0));
  expect_void("longer than the 15 min");
}

TEST_F(ResumeTest, another_battery_makes_it_void) {
  begin("cell:discharged", "standard charge", hours(3.0));
  world->kill();
  ASSERT_TRUE(world->sim().unplug(bay));
  bring("y", "cell:discharged");
  ASSERT_TRUE(world->sim().move("y", bay));
  begin_again();
  expect_void("where this ticket's battery last showed");
}

TEST_F(ResumeTest, a_lost_journal_makes_it_void) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  world->kill();
  world->store().write({NoResume{RunId{1}}}, {});
  world->clock().run_for(Second(1.0));
  begin_again();
  expect_void("the daemon stopped during this run; its samples stay as evidence");
}

TEST_F(ResumeTest, a_changed_procedure_makes_it_void) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  world->kill();
  leadwright::Run changed = world->store().load()->runs.back();
  changed.procedure_hash = "of another file";
  world->store().write({changed}, {});
  world->clock().run_for(Second(1.0));
  begin_again();
  expect_void("its procedure was changed");
}

TEST_F(ResumeTest, what_a_person_stopped_does_not_go_on_however_soon_the_daemon_dies) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"it smells"})").status, 200);
  die();
  EXPECT_EQ(place().run(), nullptr);
  EXPECT_TRUE(is_off());
  EXPECT_EQ(audited("run.resume"), 0);
}

TEST_F(ResumeTest, what_a_person_paused_stands_still_after_the_restart_too) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  ASSERT_EQ(world->ask("place.pause", bay, R"({"why":"it smells"})").status, 200);
  world->clock().run_for(Second(30.0));
  die();
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  EXPECT_TRUE(is_off());
  EXPECT_THAT(world->bench().snapshot(), HasSubstr("it smells"));
  ASSERT_EQ(world->ask("place.resume", bay, R"({"why":"it was the lunch"})").status, 200);
  world->clock().run_for(Second(5.0));
  EXPECT_FALSE(is_off());
}

TEST_F(ResumeTest, a_pause_that_was_acknowledged_is_not_forgotten_by_a_kill_at_once) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  ASSERT_EQ(world->ask("place.pause", bay, R"({"why":"it smells"})").status, 200);
  die();
  EXPECT_TRUE(is_off());
}

TEST_F(ResumeTest, a_tripped_place_lets_nothing_go_on) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  world->kill();
  world->store().write({PlaceRecord{bay, false, "a trip"}}, {});
  world->clock().run_for(Second(1.0));
  begin_again();
  expect_void("the place is tripped: a trip");
}

TEST_F(ResumeTest, a_run_that_was_interrupted_too_often_is_void) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  for (int time = 0; time < interruptions_max; ++time) {
    die();
    ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
    world->clock().run_for(minutes(5.0));
  }
  die();
  EXPECT_EQ(place().run(), nullptr);
  EXPECT_EQ(file(ticket).runs.back().outcome, RunOutcome::void_);
  EXPECT_THAT(file(ticket).runs.back().end_reason, HasSubstr("it was interrupted 3 times before"));
}

TEST_F(ResumeTest, a_run_that_waits_to_go_on_can_be_stopped) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  world->kill();
  world->sim().instrument("bay-1.charger")->set_fault(SimInstrument::Fault::no_answer, true);
  world->begin();
  world->clock().run_for(minutes(1.0));
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"enough"})").status, 200);
  expect_void("stopped by person P-1: enough");
  world->sim().instrument("bay-1.charger")->set_fault(SimInstrument::Fault::no_answer, false);
  world->clock().run_for(minutes(5.0));
  EXPECT_TRUE(is_off());
}

class AttendedResume : public ResumeTest {
 protected:
  void SetUp() override {
    WorldOptions options;
    options.attended_only = true;
    make_world(std::move(options));
  }
};

TEST_F(AttendedResume, an_attended_run_waits_for_a_person_and_then_goes_on) {
  begin("cell:discharged", "standard charge", minutes(10.0));
  die();
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  world->clock().run_for(minutes(10.0));
  EXPECT_TRUE(is_off());
  EXPECT_THAT(world->bench().snapshot(), HasSubstr("look at the battery, then let it go on"));
  ASSERT_EQ(world->ask("place.resume", bay, R"({"why":"looks well"})").status, 200);
  world->clock().run_for(Second(5.0));
  EXPECT_FALSE(is_off());
}

}  // namespace
}  // namespace leadwright
