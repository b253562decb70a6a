// SPDX-License-Identifier: Apache-2.0
// After a charge the gas goes first: nothing heavy is drawn, nothing is unclamped. And the shield before what
// is heavy.
#include "tests/world/extra_procedures.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::Contains;
using testing::HasSubstr;

class GasOffTest : public WorldTest {
 protected:
  void SetUp() override {
    procedures.add(
        "short charge",
        test_step("charge", "charge", "amps = \"5 A\"\nvolts = \"charge_volts\"\nat_most = \"10 min\""));
    procedures.add(
        "light draw",
        test_step("draw", "draw", "amps = \"25 A\"\nat_most = \"10 s\"\ncutoff = \"1.7 V * cells\""));
    procedures.add(
        "heavy draw",
        test_step("draw", "draw", "amps = \"40 A\"\nat_most = \"10 s\"\ncutoff = \"1.7 V * cells\""));
    procedures.add(
        "charge and draw",
        test_step("charge", "charge", "amps = \"5 A\"\nvolts = \"charge_volts\"\nat_most = \"1 min\"") +
            test_step("draw", "draw", "amps = \"40 A\"\nat_most = \"10 s\"\ncutoff = \"1.7 V * cells\""));
    WorldOptions options;
    options.change_settings = [this](Settings& settings) {
      settings.procedures_folder = procedures.folder();
    };
    options.tap = [this](const std::string&, bool outward, std::string_view bytes, Instant) {
      if (outward && bytes.starts_with("INP ON")) ++draws;
    };
    make_world(std::move(options));
    bring("x", "cell:sound");
    ticket = drop_off("S-1", "flooded", 6, "short charge");
    carry("x", ticket, bay);
  }
  void charge() {
    ASSERT_EQ(world->start(bay, "short charge").status, 202);
    ASSERT_TRUE(world->finish(bay));
    ASSERT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  }
  /// Its owner takes it away before the gas has gone, and brings it back at once.
  void come_back() {
    ASSERT_EQ(world->ask("ticket.close", ticket, R"({"as":"claimed","why":"the owner waits"})").status, 200);
    ASSERT_TRUE(world->sim().unplug(bay));
    ticket = drop_off("S-1", "flooded", 6, "heavy draw");
    carry("x", ticket, bay);
  }
  void expect_heavy_draw_waits() {
    const Response early = world->start(bay, "heavy draw");
    EXPECT_EQ(early.status, 409);
    EXPECT_THAT(early.body, HasSubstr("before the gas has gone"));
    EXPECT_EQ(draws, 0);
  }
  /// A charge is stopped, and its charger goes on.
  void stop_in_vain() {
    ASSERT_EQ(world->start(bay, "short charge").status, 202);
    world->clock().run_for(minutes(5.0));
    charger_ignores_off(true);
    ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"changed my mind"})").status, 200);
    ASSERT_TRUE(world->finish(bay));
    ASSERT_EQ(results.back().run.outcome, RunOutcome::tripped) << results.back().run.end_reason;
  }
  void charger_ignores_off(bool does) {
    world->sim().instrument("bay-1.charger")->set_fault(SimInstrument::Fault::ignores_off, does);
  }
  void expect_wait_begins_when_the_charger_is_off() {
    world->clock().run_for(minutes(61.0));
    ASSERT_FALSE(is_off());
    EXPECT_EQ(move().status, 409);
    EXPECT_THAT(world->bench().snapshot(), HasSubstr("60 min from now"));
    charger_ignores_off(false);
    world->clock().run_for(minutes(1.0));
    ASSERT_TRUE(is_off());
    world->clock().run_for(minutes(57.0));
    EXPECT_EQ(move().status, 409);
    world->clock().run_for(minutes(3.0));
    EXPECT_EQ(move().status, 200);
  }
  void expect_held_while_the_charger_is_out_of_reach() {
    world->clock().run_for(minutes(61.0));
    ASSERT_FALSE(is_off());
    EXPECT_EQ(move().status, 409);
  }
  Response shield() { return world->ask("place.acknowledge", bay, R"({"of":"shield"})"); }
  Response move(const std::string& more = "") {
    return world->ask("ticket.move", ticket, R"({"place":"shelf")" + more + "}");
  }
  std::vector<std::string> journal(const std::string& what) {
    world->clock().run_for(Second(1.0));
    std::vector<std::string> whys;
    for (const AuditEntry& entry : world->store().audit()) {
      if (entry.what == what) whys.push_back(entry.actor + ": " + entry.why);
    }
    return whys;
  }
  ExtraProcedures procedures;
  std::string ticket;
  int draws = 0;
};

TEST_F(GasOffTest, nothing_heavy_is_drawn_for_an_hour_after_a_charge_and_something_light_is) {
  charge();
  world->clock().run_for(minutes(58.0));
  const Response early = world->start(bay, "heavy draw");
  EXPECT_EQ(early.status, 409);
  EXPECT_THAT(early.body, HasSubstr("before the gas has gone"));
  EXPECT_THAT(early.body, HasSubstr("2 min from now"));
  EXPECT_EQ(draws, 0);
  ASSERT_EQ(world->start(bay, "light draw").status, 202);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(draws, 1);
  world->clock().run_for(minutes(2.0));
  EXPECT_EQ(world->start(bay, "heavy draw").status, 202);
}

TEST_F(GasOffTest, a_charge_within_the_same_run_counts_as_well) {
  ASSERT_EQ(shield().status, 409) << "nothing asks for it yet";
  ASSERT_EQ(world->start(bay, "charge and draw").status, 202);
  ASSERT_TRUE(world->finish(bay));
  ASSERT_EQ(shield().status, 200);
  ASSERT_EQ(world->start(bay, "charge and draw").status, 202);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(draws, 0);
  EXPECT_EQ(results.back().run.outcome, RunOutcome::stopped);
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("the gas of the charge has not gone: 60 min left"));
}

TEST_F(GasOffTest, a_battery_is_not_unclamped_before_the_gas_has_gone_and_the_page_says_until_when) {
  charge();
  const Response moved = move();
  EXPECT_EQ(moved.status, 409);
  EXPECT_THAT(moved.body, HasSubstr("do not unclamp until "));
  EXPECT_EQ(world->ask("ticket.close", ticket, R"({"as":"claimed"})").status, 409);
  EXPECT_THAT(world->bench().snapshot(), HasSubstr("do not unclamp until "));
  world->clock().run_for(minutes(60.0));
  EXPECT_THAT(world->bench().snapshot(), testing::Not(HasSubstr("do not unclamp")));
  EXPECT_EQ(move().status, 200);
}

TEST_F(GasOffTest, who_must_unclamp_all_the_same_says_why_and_it_is_kept) {
  charge();
  ASSERT_EQ(move(R"(,"why":"it leaks")").status, 200);
  EXPECT_THAT(journal("ticket.move"),
              Contains("P-1: bay-1 to shelf: it leaks (unclamped 60 min before the gas had gone)"));
}

TEST_F(GasOffTest, a_restart_does_not_make_the_gas_go) {
  charge();
  world->clock().run_for(minutes(30.0));
  world->kill_and_restart();
  EXPECT_EQ(move().status, 409);
  EXPECT_EQ(world->start(bay, "heavy draw").status, 409);
  world->clock().run_for(minutes(30.0));
  EXPECT_EQ(move().status, 200);
}

TEST_F(GasOffTest, a_date_that_is_set_makes_no_gas_go) {
  charge();
  world->clock().step_utc(hours(24.0));
  EXPECT_EQ(move().status, 409);
  world->clock().run_for(minutes(61.0));
  EXPECT_EQ(move().status, 200);
}

TEST_F(GasOffTest, a_date_set_back_before_a_restart_holds_a_battery_no_longer_than_the_wait) {
  charge();
  world->clock().step_utc(hours(-24.0));
  world->kill_and_restart();
  world->clock().run_for(minutes(59.0));
  EXPECT_EQ(move().status, 409);
  world->clock().run_for(minutes(2.0));
  EXPECT_EQ(move().status, 200);
}

TEST_F(GasOffTest, a_charge_cut_short_by_a_kill_counts_from_the_restart) {
  ASSERT_EQ(world->start(bay, "short charge").status, 202);
  world->clock().run_for(minutes(5.0));
  ASSERT_FALSE(is_off());
  world->kill_and_restart();
  world->clock().run_for(minutes(58.0));
  EXPECT_EQ(move().status, 409);
}

TEST_F(GasOffTest, the_wait_begins_when_a_charger_that_ignored_off_is_off) {
  stop_in_vain();
  expect_wait_begins_when_the_charger_is_off();
}

TEST_F(GasOffTest, the_wait_begins_when_a_charger_that_ignored_off_is_off_after_a_restart_too) {
  stop_in_vain();
  world->kill_and_restart();
  expect_wait_begins_when_the_charger_is_off();
}

TEST_F(GasOffTest, a_charger_that_goes_on_over_a_kill_and_ignores_off_makes_gas_until_it_is_off) {
  ASSERT_EQ(world->start(bay, "short charge").status, 202);
  world->clock().run_for(minutes(5.0));
  charger_ignores_off(true);
  world->kill_and_restart();
  expect_wait_begins_when_the_charger_is_off();
}

TEST_F(GasOffTest, the_wait_begins_when_the_right_charger_is_off_and_not_when_another_at_its_plug_is) {
  ASSERT_EQ(world->start(bay, "short charge").status, 202);
  world->clock().run_for(minutes(5.0));
  charger_ignores_off(true);
  ASSERT_TRUE(world->sim().swap_lines("bay-1.charger", "charge-1.charger"));
  ASSERT_TRUE(world->finish(bay));
  ASSERT_THAT(results.back().run.end_reason, HasSubstr("another instrument than before"));
  expect_held_while_the_charger_is_out_of_reach();
  ASSERT_TRUE(world->sim().swap_lines("bay-1.charger", "charge-1.charger"));
  expect_wait_begins_when_the_charger_is_off();
}

TEST_F(GasOffTest, a_trip_acknowledged_before_off_is_proved_holds_the_battery_after_a_restart_too) {
  stop_in_vain();
  world->cable("bay-1.charger").pull();
  world->clock().run_for(Second(10.0));
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"trip","why":"did not look"})").status, 200);
  world->kill_and_restart();
  expect_held_while_the_charger_is_out_of_reach();
  world->cable("bay-1.charger").put_back();
  expect_wait_begins_when_the_charger_is_off();
}

TEST_F(GasOffTest, what_went_in_after_the_run_counts_for_a_battery_that_is_moved_on) {
  stop_in_vain();
  world->clock().run_for(minutes(61.0));
  charger_ignores_off(false);
  world->clock().run_for(minutes(1.0));
  ASSERT_EQ(move(R"(,"why":"the bay is needed")").status, 200);
  ASSERT_TRUE(world->sim().unplug(bay));
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"trip","why":"mended"})").status, 200);
  carry("x", ticket, bay);
  expect_heavy_draw_waits();
}

TEST_F(GasOffTest, a_battery_that_is_clamped_on_again_waits_for_the_gas_of_its_charge) {
  charge();
  world->clock().run_for(minutes(20.0));
  ASSERT_EQ(move(R"(,"why":"the clamp slipped")").status, 200);
  ASSERT_TRUE(world->sim().unplug(bay));
  carry("x", ticket, bay);
  expect_heavy_draw_waits();
  world->clock().run_for(minutes(40.0));
  EXPECT_EQ(world->start(bay, "heavy draw").status, 202);
}

TEST_F(GasOffTest, a_battery_that_returns_with_a_new_ticket_waits_for_the_gas_of_its_charge) {
  charge();
  world->clock().run_for(minutes(20.0));
  come_back();
  expect_heavy_draw_waits();
  world->clock().run_for(minutes(40.0));
  EXPECT_EQ(world->start(bay, "heavy draw").status, 202);
}

TEST_F(GasOffTest, a_battery_that_returned_waits_after_a_restart_too_as_long_as_if_charged_until_it_came) {
  charge();
  world->clock().run_for(minutes(20.0));
  come_back();
  world->clock().run_for(minutes(30.0));
  world->kill_and_restart();
  expect_heavy_draw_waits();
  world->clock().run_for(minutes(31.0));
  EXPECT_EQ(world->start(bay, "heavy draw").status, 202);
}

TEST_F(GasOffTest, a_heavy_draw_asks_for_the_shield_before_anything_is_energised) {
  ASSERT_EQ(world->start(bay, "heavy draw").status, 202);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(draws, 0);
  ASSERT_TRUE(world->bench().place(bay)->ask());
  EXPECT_EQ(world->bench().place(bay)->ask()->of, AskOf::shield);
  EXPECT_THAT(world->bench().snapshot(), HasSubstr("the shield is closed"));
  ASSERT_EQ(shield().status, 200);
  EXPECT_EQ(journal("place.acknowledge.shield").size(), 1U);
  ASSERT_EQ(world->start(bay, "heavy draw").status, 202);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  EXPECT_EQ(draws, 1);
}

TEST_F(GasOffTest, the_shield_is_asked_for_again_at_the_next_run) {
  ASSERT_EQ(world->start(bay, "heavy draw").status, 202);
  ASSERT_TRUE(world->finish(bay));
  ASSERT_EQ(shield().status, 200);
  ASSERT_EQ(world->start(bay, "heavy draw").status, 202);
  ASSERT_TRUE(world->finish(bay));
  ASSERT_EQ(draws, 1);
  world->clock().run_for(hours(2.0));  // the charge that was asked for follows by itself
  ASSERT_EQ(world->start(bay, "heavy draw").status, 202);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(draws, 1);
  EXPECT_EQ(world->bench().place(bay)->ask()->of, AskOf::shield);
}

TEST_F(GasOffTest, a_light_draw_needs_no_shield) {
  ASSERT_EQ(world->start(bay, "light draw").status, 202);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(draws, 1);
}

}  // namespace
}  // namespace leadwright
