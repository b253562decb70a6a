// SPDX-License-Identifier: Apache-2.0
// Contactors between instruments and posts, and a load that several bays share through selectors: broken
// before made, proved by voltage, and two batteries never joined.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

/// A stop that can't be verified: one attempt of the profile (its checks and the second of its proof), then
/// the contact, which takes 20 ms to settle.
constexpr Second other_way_within{2.0};

class SwitchgearTest : public WorldTest {
 protected:
  void with(Switchgear gear, int bays = 1) {
    WorldOptions options;
    options.switchgear = gear;
    options.bays = bays;
    options.answer_after = Second(0.005);
    make_world(std::move(options));
  }
  RelayBox& box() { return *world->sim().relay_box("box-1"); }
  bool is_closed(int output) { return box().relays().is_closed(output); }
  Place& place(const char* name) { return *world->bench().place(name); }
  std::string ready_ticket(const char* name, const std::string& serial) {
    bring(serial, "cell:sound");
    const std::string ticket = drop_off(serial, "flooded", 6, "reserve capacity");
    carry(serial, ticket, name);
    return ticket;
  }
  /// The daemon dies; the watchdog of the box (5 s by its profile) has time to run out.
  void die() {
    world->kill();
    world->clock().run_for(Second(5.5));
    // The simulated bench lives up to the moment when somebody looks at a current.
    drawn(bay);
  }
  void draw_at(const char* name) {
    ASSERT_EQ(world->start(name).status, 202);
    ASSERT_TRUE(world->clock().run_until([&] { return drawn(name) > Ampere(24.0); },
                                         world->clock().now() + minutes(30.0)));
    world->clock().run_for(minutes(2.0));
    ASSERT_GT(drawn(name), Ampere(24.0)) << place(name).trip();
  }
};

TEST_F(SwitchgearTest, an_isolator_is_closed_for_a_run_alone) {
  with(Switchgear::isolators);
  const std::string ticket = ready_ticket(bay, "S-1");
  world->clock().run_for(Second(10.0));
  EXPECT_EQ(place(bay).activity(), Activity::ready) << place(bay).problem();
  EXPECT_FALSE(is_closed(0));
  EXPECT_FALSE(place(bay).live().volts) << "open leads show no battery";
  draw_at(bay);
  EXPECT_TRUE(is_closed(0));
  EXPECT_FALSE(is_closed(1)) << "that of the charging place";
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  EXPECT_NE(file(ticket).newest(Measurand::reserve_capacity), nullptr);
  world->clock().run_for(Second(10.0));
  EXPECT_FALSE(is_closed(0));
}

TEST_F(SwitchgearTest, finds_a_welded_isolator_before_energy) {
  with(Switchgear::isolators);
  ready_ticket(bay, "S-1");
  box().relays().set_coil(0, true);
  box().set_relay_fault(0, RelayFault::welded);
  ASSERT_EQ(world->start(bay).status, 202);
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  EXPECT_EQ(place(bay).activity(), Activity::tripped);
  EXPECT_THAT(place(bay).trip(), HasSubstr("the contact is welded"));
  EXPECT_FALSE(results.back().began);
  EXPECT_EQ(drawn(bay), Ampere(0.0));
}

TEST_F(SwitchgearTest, does_not_begin_when_the_isolator_does_not_close) {
  with(Switchgear::isolators);
  ready_ticket(bay, "S-1");
  box().set_relay_fault(0, RelayFault::stuck_open);
  ASSERT_EQ(world->start(bay).status, 202);
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  EXPECT_THAT(place(bay).trip(), HasSubstr("the contact does not close"));
  EXPECT_FALSE(results.back().began);
}

TEST_F(SwitchgearTest, says_that_no_battery_is_reached_and_does_not_trip_for_that) {
  with(Switchgear::isolators);
  const std::string ticket = ready_ticket(bay, "S-1");
  ASSERT_TRUE(world->sim().unplug(bay));
  ASSERT_EQ(world->start(bay).status, 202);
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  EXPECT_EQ(place(bay).activity(), Activity::ready);
  EXPECT_THAT(file(ticket).ticket.state_reason, HasSubstr("no battery although its contact is closed"));
  EXPECT_FALSE(is_closed(0));
}

TEST_F(SwitchgearTest, opens_the_isolator_of_a_load_that_ignores_off) {
  with(Switchgear::isolators);
  ready_ticket(bay, "S-1");
  draw_at(bay);
  world->sim().instrument("bay-1.load")->set_fault(SimInstrument::Fault::ignores_off, true);
  const Instant stopped = world->clock().now();
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
  ASSERT_TRUE(
      world->clock().run_until([&] { return drawn(bay) == Ampere(0.0); }, stopped + other_way_within));
  EXPECT_FALSE(is_closed(0));
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  EXPECT_THAT(place(bay).trip(), HasSubstr("its isolator was opened and read back"));
}

TEST_F(SwitchgearTest, the_contacts_open_by_themselves_when_the_daemon_dies) {
  with(Switchgear::isolators);
  ready_ticket(bay, "S-1");
  draw_at(bay);
  die();
  EXPECT_FALSE(is_closed(0));
  EXPECT_EQ(drawn(bay), Ampere(0.0));
  world->restart();
  EXPECT_EQ(place(bay).activity(), Activity::ready) << place(bay).problem() << place(bay).trip();
}

TEST_F(SwitchgearTest, a_box_that_lost_its_mains_while_idle_is_armed_again) {
  with(Switchgear::isolators);
  ready_ticket(bay, "S-1");
  world->clock().run_for(Second(10.0));
  box().power_cycle();
  draw_at(bay);
  die();
  EXPECT_EQ(drawn(bay), Ampere(0.0)) << "the contact opens though no instrument here has a watchdog";
}

TEST_F(SwitchgearTest, a_box_is_armed_before_its_first_contact_closes) {
  with(Switchgear::isolators);
  ready_ticket(bay, "S-1");
  ASSERT_EQ(world->start(bay).status, 202);
  box().power_cycle();
  ASSERT_TRUE(world->clock().run_until([&] { return is_closed(0); }, world->clock().now() + Second(2.0)));
  die();
  EXPECT_FALSE(is_closed(0));
}

TEST_F(SwitchgearTest, two_bays_share_a_load_one_after_the_other) {
  with(Switchgear::shared_load, 2);
  for (const char* name : {"bay-1", "bay-2"}) ready_ticket(name, std::string("S-") + name);
  draw_at("bay-1");
  ASSERT_EQ(world->start("bay-2").status, 202);
  world->clock().run_for(Second(30.0));
  EXPECT_EQ(place("bay-2").activity(), Activity::running);
  EXPECT_EQ(place("bay-2").run()->progress().what, "waits for load-1, which serves bay-1");
  EXPECT_TRUE(is_closed(0));
  EXPECT_FALSE(is_closed(1));
  ASSERT_TRUE(world->finish("bay-1"));
  ASSERT_TRUE(world->finish("bay-2"));
  ASSERT_EQ(results.size(), 2U);
  for (const RunResult& result : results) {
    EXPECT_EQ(result.run.outcome, RunOutcome::complete) << result.run.end_reason;
  }
  EXPECT_THAT(world->sim().joined(), IsEmpty());
  EXPECT_FALSE(is_closed(0) || is_closed(1));
}

TEST_F(SwitchgearTest, a_run_that_waits_in_line_can_be_stopped) {
  with(Switchgear::shared_load, 2);
  for (const char* name : {"bay-1", "bay-2"}) ready_ticket(name, std::string("S-") + name);
  draw_at("bay-1");
  ASSERT_EQ(world->start("bay-2").status, 202);
  world->clock().run_for(Second(5.0));
  ASSERT_EQ(world->ask("place.stop", "bay-2", R"({"why":"test"})").status, 200);
  ASSERT_TRUE(world->finish("bay-2", Second(5.0)));
  EXPECT_GT(drawn("bay-1"), Ampere(24.0)) << "the other bay goes on";
  EXPECT_FALSE(is_closed(1));
}

TEST_F(SwitchgearTest, never_joins_two_batteries_when_a_selector_is_welded) {
  with(Switchgear::shared_load, 2);
  for (const char* name : {"bay-1", "bay-2"}) ready_ticket(name, std::string("S-") + name);
  box().relays().set_coil(1, true);
  box().set_relay_fault(1, RelayFault::welded);
  ASSERT_EQ(world->start("bay-1").status, 202);
  ASSERT_TRUE(world->finish("bay-1", minutes(5.0)));
  EXPECT_THAT(place("bay-1").trip(), HasSubstr("the contact is welded"));
  EXPECT_FALSE(results.back().began);
  EXPECT_FALSE(is_closed(0));
  EXPECT_THAT(world->sim().joined(), IsEmpty());
}

TEST_F(SwitchgearTest, finds_a_selector_that_welds_in_a_run_when_the_run_ends) {
  with(Switchgear::shared_load, 2);
  for (const char* name : {"bay-1", "bay-2"}) ready_ticket(name, std::string("S-") + name);
  draw_at("bay-1");
  box().set_relay_fault(0, RelayFault::welded);
  ASSERT_EQ(world->start("bay-2").status, 202);
  ASSERT_TRUE(world->finish("bay-1"));
  EXPECT_THAT(place("bay-1").trip(), HasSubstr("did not open"));
  ASSERT_TRUE(world->finish("bay-2"));
  EXPECT_FALSE(is_closed(1));
  EXPECT_THAT(world->sim().joined(), IsEmpty());
}

TEST_F(SwitchgearTest, a_box_that_answers_well_and_does_nothing_is_found_by_the_mirror_contact) {
  with(Switchgear::shared_load, 2);
  for (const char* name : {"bay-1", "bay-2"}) ready_ticket(name, std::string("S-") + name);
  draw_at("bay-1");
  box().set_relay_fault(0, RelayFault::ignored);
  ASSERT_EQ(world->start("bay-2").status, 202);
  ASSERT_TRUE(world->finish("bay-1"));
  EXPECT_EQ(place("bay-1").activity(), Activity::tripped);
  ASSERT_TRUE(world->finish("bay-2"));
  EXPECT_THAT(world->sim().joined(), IsEmpty());
}

TEST_F(SwitchgearTest, isolators_and_a_shared_load_work_together) {
  with(Switchgear::both, 2);
  const std::string ticket = ready_ticket("bay-2", "S-2");
  ASSERT_EQ(world->start("bay-2").status, 202);
  ASSERT_TRUE(world->finish("bay-2"));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  EXPECT_NE(file(ticket).newest(Measurand::reserve_capacity), nullptr);
  for (int output = 0; output < RelayPart::outputs; ++output) EXPECT_FALSE(is_closed(output)) << output;
}

}  // namespace
}  // namespace leadwright
