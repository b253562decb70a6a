// SPDX-License-Identifier: Apache-2.0
// Hazards of links, sensors and kills: what the terminals do, and what is believed afterwards.
#include "tests/world/wire_log.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class Hazard : public WorldTest {
 protected:
  void SetUp() override {
    WorldOptions options;
    options.tap = [this](const std::string&, bool outward, std::string_view bytes, Instant) {
      if (outward && WorldWireLog::switches_on(bytes)) ++switched_on;
    };
    make_world(std::move(options));
  }
  void begin_discharge() {
    ticket = begin_run("cell:sound", "reserve capacity");
    world->clock().run_for(minutes(5.0));
    ASSERT_FALSE(is_off(bay));
  }
  MemoryLink& link(Instrument* instrument) { return dynamic_cast<MemoryLink&>(instrument->link()); }
  std::string ticket;
  int switched_on = 0;
};

TEST_F(Hazard, a_silent_thermometer_ends_the_draw_within_its_own_freshness_limit) {
  begin_discharge();
  world->sim().instrument("bay-1.thermometer")->set_fault(SimInstrument::Fault::no_answer, true);
  // stale_ms of the simulated thermometer's profile and the 100 ms of reliability.md, row 2.
  world->clock().run_for(Second(10.1));
  EXPECT_TRUE(is_off(bay));
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::tripped);
}

TEST_F(Hazard, a_battery_too_hot_to_charge_is_not_charged_even_for_one_sample) {
  begin_run("cell:discharged,ambient_degc=55", "standard charge", charging);
  ASSERT_TRUE(world->finish(charging, minutes(10.0)));
  EXPECT_EQ(switched_on, 0);
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("above the limit of 50.0 degC"));
  EXPECT_EQ(world->bench().place(charging)->activity(), Activity::tripped);
}

TEST_F(Hazard, a_charger_that_stays_on_is_shouted_again_while_the_thermometer_is_away) {
  begin_run("cell:discharged", "standard charge", charging);
  world->clock().run_for(minutes(5.0));
  ASSERT_FALSE(is_off(charging));
  SimInstrument& charger = *world->sim().instrument("charge-1.charger");
  SimInstrument& thermometer = *world->sim().instrument("charge-1.thermometer");
  charger.set_fault(SimInstrument::Fault::ignores_off, true);
  thermometer.set_fault(SimInstrument::Fault::no_answer, true);
  world->clock().run_for(minutes(1.0));
  const Place& place = *world->bench().place(charging);
  const auto acknowledge = [this] {
    const Response answer =
        world->ask("place.acknowledge", charging, R"({"of":"trip","why":"looked at it"})");
    EXPECT_EQ(answer.status, 200) << answer.body;
  };
  ASSERT_EQ(place.activity(), Activity::tripped);
  acknowledge();
  world->clock().run_for(Second(10.0));
  EXPECT_EQ(place.activity(), Activity::tripped);
  EXPECT_THAT(place.trip(), HasSubstr("charge-1.charger")) << place.problem();
  thermometer.set_fault(SimInstrument::Fault::no_answer, false);
  world->clock().run_for(minutes(1.0));
  EXPECT_EQ(place.activity(), Activity::tripped);
  charger.set_fault(SimInstrument::Fault::ignores_off, false);
  world->clock().run_for(minutes(1.0));
  EXPECT_TRUE(is_off(charging));
  acknowledge();
  world->clock().run_for(Second(10.0));
  EXPECT_EQ(place.activity(), Activity::ready);
}

TEST_F(Hazard, no_charge_begins_without_a_temperature) {
  world->sim().instrument("charge-1.thermometer")->set_fault(SimInstrument::Fault::no_answer, true);
  world->clock().run_for(minutes(1.0));
  begin_run("cell:discharged", "standard charge");
  world->sim().instrument("bay-1.thermometer")->set_fault(SimInstrument::Fault::no_answer, true);
  ASSERT_TRUE(world->finish(bay, minutes(10.0)));
  EXPECT_EQ(switched_on, 0);
}

TEST_F(Hazard, a_lead_battery_of_a_kind_that_nobody_knows_is_charged_to_the_lowest_limit) {
  bring("x", "cell:discharged");
  ticket = drop_off("S-1", "lead", 6, "standard charge");
  carry("x", ticket, charging);
  work(charging);
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  Volt highest{0.0};
  for (const Sample& sample : results.back().trace.samples)
    highest = std::max(highest, sample.volts.value_or(Volt(0.0)));
  EXPECT_GT(highest, Volt(13.8));
  EXPECT_LT(highest, Volt(14.2));
}

TEST_F(Hazard, an_unplugged_charger_is_found_and_comes_back_by_itself_without_energy) {
  begin_run("cell:discharged", "standard charge", charging);
  world->clock().run_for(minutes(10.0));
  ASSERT_FALSE(is_off(charging));
  const int switched_on_before = switched_on;
  link(world->bench().place(charging)->instruments().charger()).unplug(world->clock().now() + Second(20.0));
  ASSERT_TRUE(world->finish(charging, minutes(1.0)));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::tripped);
  world->clock().run_for(minutes(1.0));
  EXPECT_TRUE(is_off(charging));
  EXPECT_EQ(world->bench().place(charging)->problem(), "");
  EXPECT_EQ(switched_on, switched_on_before);
}

TEST_F(Hazard, a_load_that_was_not_proved_off_trips_again_although_its_meter_shows_nothing) {
  begin_discharge();
  SimInstrument& load = *world->sim().instrument("bay-1.load");
  load.set_fault(SimInstrument::Fault::ignores_off, true);
  load.set_fault(SimInstrument::Fault::overload, true);
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  ASSERT_FALSE(is_off(bay));
  const Place& place = *world->bench().place(bay);
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"trip","why":"looked at it"})").status, 200);
  world->clock().run_for(Second(5.0));
  EXPECT_THAT(place.trip(), HasSubstr("off could not be verified"));
  load.set_fault(SimInstrument::Fault::ignores_off, false);
  world->clock().run_for(Second(5.0));
  EXPECT_TRUE(is_off(bay)) << "off is said until it is proved";
  EXPECT_THAT(place.trip(), HasSubstr("off could not be verified")) << "an overload proves nothing";
  load.set_fault(SimInstrument::Fault::overload, false);
  world->clock().run_for(Second(10.0));
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"trip","why":"pulled its plug"})").status, 200);
  world->clock().run_for(Second(5.0));
  EXPECT_EQ(place.trip(), "");
}

TEST_F(Hazard, a_ticket_can_not_leave_before_stop_all_was_read_back) {
  begin_discharge();
  world->sim().instrument("bay-1.load")->set_fault(SimInstrument::Fault::no_answer, true);
  ASSERT_EQ(world->ask("stop.all").status, 200);
  EXPECT_EQ(world->ask("ticket.move", ticket, R"({"place":"shelf"})").status, 409);
  EXPECT_EQ(world->ask("ticket.close", ticket, R"({"as":"scrapped"})").status, 409);
}

TEST_F(Hazard, a_discharged_battery_is_neither_tested_nor_charged_out_of_turn_by_naming_a_procedure) {
  bring("x", "cell:discharged");
  ticket = drop_off("S-1");
  carry("x", ticket, bay);
  EXPECT_EQ(world->start(bay, "standard charge").status, 409);
  EXPECT_EQ(world->start(bay, "reserve capacity").status, 409);
  EXPECT_EQ(switched_on, 0);
  ASSERT_EQ(world->start(bay, "intake check").status, 202);
  ASSERT_TRUE(world->finish(bay));
  const Response early = world->start(bay, "reserve capacity");
  EXPECT_EQ(early.status, 409);
  EXPECT_THAT(early.body, HasSubstr("charged and rested"));
  EXPECT_EQ(world->start(bay, "standard charge").status, 202);
}

TEST_F(Hazard, a_trip_is_kept_even_if_the_daemon_dies_before_it_has_verified_off) {
  begin_discharge();
  world->sim().instrument("bay-1.load")->set_fault(SimInstrument::Fault::no_answer, true);
  ASSERT_TRUE(world->clock().run_until([this] { return is_off(bay); }, world->clock().now() + Second(5.0)));
  world->clock().run_for(Second(0.05));
  ASSERT_TRUE(results.empty());
  world->sim().instrument("bay-1.load")->set_fault(SimInstrument::Fault::no_answer, false);
  world->kill_and_restart();
  EXPECT_EQ(world->bench().place(bay)->activity(), Activity::tripped);
}

TEST_F(Hazard, a_kill_between_the_order_and_the_run_leaves_no_ticket_at_work) {
  bring("x", "cell:sound");
  ticket = drop_off("S-1");
  carry("x", ticket, bay);
  link(world->bench().place(bay)->instruments().load()).close();
  ASSERT_EQ(world->start(bay).status, 202);
  ASSERT_TRUE(world->clock().run_until(
      [this] { return world->store().load()->tickets.back().state == TicketState::testing; },
      world->clock().now() + Second(1.0)));
  ASSERT_TRUE(world->store().load()->runs.empty());
  world->kill_and_restart();
  EXPECT_EQ(file(ticket).ticket.state, TicketState::waiting);
}

}  // namespace
}  // namespace leadwright
