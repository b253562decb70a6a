// SPDX-License-Identifier: Apache-2.0
// Rows of the fault matrix in which a link leads nowhere, or to another instrument than the one that is
// configured there.
#include "tests/world/fault_matrix.h"

namespace leadwright {
namespace {

using namespace fault_matrix;
using testing::AllOf;
using testing::HasSubstr;

/// A link that is gone fails at the next sample.
constexpr Second partner_off_within = charger_period + bytes_time;
/// The longest pause between two attempts to connect; the first bytes of an attempt are off.
constexpr Second back_within = reconnect_period_max + bytes_time;
/// The watchdog that the daemon arms in the Modbus instruments (value_s in their profiles), fed by the
/// question that was on its way.
constexpr Second watchdog_time = Second(5.0) + bytes_time;
constexpr Second out_for{20.0};
/// recheck_s of the profiles.
constexpr Second identity_asked_every{10.0};
/// An idle place looks once a second; two questions, then off.
constexpr Second other_place_looks_within = Place::idle_period + answer_after * 4.0 + bytes_time;
/// Three readings, each followed by a question whether the load's own cut-off acted.
constexpr Second reads_no_current_for =
    (load_period + answer_after * 2.0) * static_cast<double>(FollowWatch::samples_off_max) + bytes_time;

class FaultMatrixConnection : public FaultMatrixOnBoth {
 protected:
  Cable& load_cable() { return world->cable("bay-1.load"); }

  // Nobody is told that the plugs changed places. Load and charger both know CURR 0, or the register that
  // does the same: the off of the partner ended the current.
  void expect_swapped_ports_refuse_the_next_start() {
    ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"trip","why":"test"})").status, 200);
    const Instant acknowledged = now();
    const Response refused = world->start(bay);
    if (refused.status == 202) {
      ASSERT_TRUE(world->finish(bay, minutes(1.0)));
      EXPECT_EQ(results.back().run.outcome, RunOutcome::stopped);
      EXPECT_THAT(results.back().run.end_reason, HasSubstr("wrong instrument"));
      world->clock().run_for(Second(10.0));
    }
    EXPECT_EQ(place().activity(), Activity::connecting);
    EXPECT_THAT(place().problem(), AllOf(HasSubstr("wrong instrument"), HasSubstr("swap the cables")));
    EXPECT_EQ(world->start(bay).status, 409);
    expect_no_energy_since(acknowledged);
    expect_ticket_waits();
  }

  /// Pulled out for a while in mid-flight. The partner goes off when the loss is seen; the instrument itself
  /// can't be told: it ends by its own watchdog if it has one, else when its link is back.
  void expect_unplugging_is_survived(Cable& cable) {
    const Instant fault = now();
    cable.pull(fault + out_for);
    const Second took = time_to_safe(out_for + back_within * 2.0);
    record("time_to_safe_s", took);
    const bool has_watchdog = GetParam() == SimSpeech::modbus;
    EXPECT_LE(took.si(), (has_watchdog ? watchdog_time : out_for + back_within).si());
    const auto partner_off = log.first_off(partner, fault);
    ASSERT_TRUE(partner_off);
    record("partner_off_s", *partner_off - fault);
    EXPECT_LE((*partner_off - fault).si(), (partner_off_within).si());
    world->clock().run_for(out_for + minutes(1.0));
    expect_off_comes_first(acting, fault + out_for);
    EXPECT_TRUE(is_safe());
    EXPECT_EQ(place().problem(), "");
    expect_no_energy_since(fault);
  }
};

TEST_P(FaultMatrixConnection, unplug_during_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    expect_unplugging_is_survived(load_cable());
    expect_tripped("memory:bay-1.load: the link is closed: check cable and power; off could not be verified");
  });
}

TEST_P(FaultMatrixConnection, unplug_during_a_charge) {
  at_each_moment([this] {
    charge(GetParam());
    expect_unplugging_is_survived(world->cable("bay-1.charger"));
    expect_tripped(
        "memory:bay-1.charger: the link is closed: check cable and power; off could not be verified");
  });
}

TEST_P(FaultMatrixConnection, ports_swapped_in_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    ASSERT_TRUE(world->sim().swap_lines("bay-1.load", "bay-1.charger"));
    expect_safe_within(reads_no_current_for + off_within());
    expect_tripped("the current is 0.000 A where 25.000 A is set");
    expect_swapped_ports_refuse_the_next_start();
  });
}

TEST_P(FaultMatrixConnection, ports_swapped_in_a_charge) {
  at_each_moment([this] {
    charge(GetParam());
    ASSERT_TRUE(world->sim().swap_lines("bay-1.load", "bay-1.charger"));
    // The load shows the right volts and no amps, as a charger may that gives less than its limit.
    expect_safe_within(identity_asked_every + charger_period * 2.0 + off_within() + bytes_time);
    expect_tripped("wrong instrument: ");
    expect_swapped_ports_refuse_the_next_start();
  });
}

TEST_P(FaultMatrixConnection, ports_swapped_while_the_daemon_is_away) {
  make(GetParam());
  world->kill();
  ASSERT_TRUE(world->sim().swap_lines("bay-1.load", "bay-1.charger"));
  const Instant restarted = now();
  acting = load_link;
  began = restarted;
  world->restart();
  EXPECT_EQ(place().activity(), Activity::connecting);
  EXPECT_THAT(place().problem(),
              AllOf(HasSubstr("bay-1.load: wrong instrument"), HasSubstr("swap the cables")));
  expect_off_comes_first(load_link, restarted);
  expect_off_comes_first(charger_link, restarted);
  bring("x", "cell:sound");
  carry("x", drop_off("S-1", "flooded", 6, "reserve capacity"), bay);
  EXPECT_EQ(world->start(bay).status, 409);
  expect_no_energy_since(restarted);
  ASSERT_TRUE(world->sim().swap_lines("bay-1.load", "bay-1.charger"));
  world->clock().run_for(back_within + Second(2.0));
  EXPECT_EQ(place().activity(), Activity::ready) << place().problem();
}

// The old port is dead, and at it answers what was plugged in there meanwhile.
TEST_P(FaultMatrixConnection, replug_as_another_name_in_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    const Instant fault = now();
    load_cable().pull();
    world->clock().run_for(Second(10.0));
    EXPECT_THAT(place().problem(), AllOf(HasSubstr("bay-1.load"), HasSubstr("no such device")));
    ASSERT_TRUE(world->sim().swap_lines("bay-1.load", "charge-1.charger"));
    load_cable().put_back();
    const Instant back = now();
    // The other address is configured as well, as a charger's, and its place switches off what shows a
    // current.
    const Second took = time_to_safe(Second(20.0));
    record("time_to_safe_s", took);
    EXPECT_LE(took.si(), other_place_looks_within.si());
    world->clock().run_for(minutes(1.0));
    expect_off_comes_first(load_link, back);
    EXPECT_THAT(place().problem(),
                AllOf(HasSubstr("bay-1.load: wrong instrument"), HasSubstr("swap the cables")));
    world->sim().terminals(charging)->settle(now());
    EXPECT_FALSE(terminals(charging).charger.on);
    EXPECT_TRUE(is_safe());
    EXPECT_EQ(log.on_count("memory:charge-1.charger", fault), 0);
    expect_no_energy_since(fault);
    expect_tripped("memory:bay-1.load: the link is closed");
  });
}

TEST_P(FaultMatrixConnection, a_plug_that_changes_places_while_the_battery_rests_switches_nothing_on) {
  make(GetParam(), [](WorldOptions& options) { options.bays = 2; });
  start("cell:sound", "reserve capacity");
  world->clock().run_for(Second(20.0));
  ASSERT_TRUE(world->sim().swap_lines("bay-1.load", "bay-2.load"));
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  EXPECT_EQ(log.on_count(load_link, began), 0);
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("another instrument than before"));
}

TEST_F(FaultMatrix, a_trip_over_a_changed_plug_is_not_over_before_the_right_one_is_back) {
  draw(SimSpeech::scpi);
  ASSERT_TRUE(world->sim().swap_lines("bay-1.load", "charge-1.charger"));
  ASSERT_TRUE(world->finish(bay, minutes(5.0)));
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"trip","why":"did not look"})").status, 200);
  world->clock().run_for(minutes(1.0));
  EXPECT_EQ(place().activity(), Activity::connecting);
  EXPECT_FALSE(place().problem().empty());
  ASSERT_TRUE(world->sim().swap_lines("bay-1.load", "charge-1.charger"));
  world->clock().run_for(minutes(2.0));
  EXPECT_EQ(place().activity(), Activity::ready) << place().problem();
  EXPECT_TRUE(is_safe());
}

TEST_F(FaultMatrix, another_unit_of_the_same_kind_is_never_energised) {
  make(SimSpeech::scpi, [](WorldOptions& options) { options.bays = 2; });
  began = now();
  bring("other", "cell:sound");
  ASSERT_TRUE(world->sim().move("other", "bay-2"));
  ASSERT_TRUE(world->sim().swap_lines("bay-1.load", "bay-2.load"));
  bring("x", "cell:sound");
  carry("x", drop_off("S-1", "flooded", 6, "reserve capacity"), bay);
  ASSERT_EQ(world->start(bay).status, 202);
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_EQ(results.back().run.outcome, RunOutcome::stopped);
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("another instrument than before"));
  world->clock().run_for(minutes(1.0));
  EXPECT_THAT(place().problem(), HasSubstr("put back unit bay-1.load"));
  EXPECT_EQ(log.on_count("memory:bay-2.load", began), 0);
  expect_no_energy_since(began);
}

TEST_P(FaultMatrixConnection, busy_port_at_the_start) {
  make(GetParam(), [](WorldOptions& options) {
    options.change_settings = [](Settings& settings) { settings.places[0].load->where = "bench.toml:12:8"; };
  });
  world->kill();
  load_cable().take();
  const Instant restarted = now();
  began = restarted;
  world->restart();
  EXPECT_EQ(place().activity(), Activity::connecting);
  EXPECT_THAT(place().problem(),
              AllOf(HasSubstr("bench.toml:12:8: bay-1.load: memory:bay-1.load"),
                    HasSubstr("open in another program"), HasSubstr("end the program that has it open")));
  EXPECT_TRUE(log.said(load_link, restarted).empty());
  expect_off_comes_first(charger_link, restarted);
  expect_no_energy_since(restarted);
  EXPECT_EQ(world->bench().place(charging)->activity(), Activity::ready) << "the others work";
  load_cable().release();
  world->clock().run_for(back_within + Second(2.0));
  EXPECT_EQ(place().activity(), Activity::ready) << place().problem();
}

INSTANTIATE_TEST_SUITE_P(FaultMatrix, FaultMatrixConnection,
                         testing::Values(SimSpeech::scpi, SimSpeech::modbus), speech_name);

}  // namespace
}  // namespace leadwright
