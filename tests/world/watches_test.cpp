// SPDX-License-Identifier: Apache-2.0
// The watches over a run: each hazard is off in time and said in plain words, and no sound battery is taken
// for one.
#include "tests/world/scripted_battery.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class WatchesTest : public WorldTest {
 protected:
  void SetUp() override { make_world(); }
  void begin(const char* procedure) {
    ASSERT_TRUE(world->sim().shelve("x", std::make_unique<ScriptedBattery>(script)));
    ticket = drop_off("S-1", "agm", 6, procedure);
    carry("x", ticket, bay);
    ASSERT_EQ(world->start(bay).status, 202);
    world->clock().run_for(minutes(2.0));
    ASSERT_FALSE(is_off()) << place().trip();
  }
  /// Off within `limit` of now, with these words.
  void expect_off_within(Second limit, const char* words, Activity then) {
    ASSERT_TRUE(world->clock().run_until([this] { return is_off(); }, world->clock().now() + limit));
    ASSERT_TRUE(world->finish(bay, minutes(1.0)));
    EXPECT_THAT(results.back().run.end_reason, HasSubstr(words));
    EXPECT_EQ(place().activity(), then);
    EXPECT_TRUE(results.back().findings.empty());
  }
  /// The voltage rises by 12 mV an hour, as it does while a battery takes current; stuck, it would lack a
  /// cell.
  void rise_until(Instant end) {
    while (world->clock().now() < end && !is_off()) {
      world->clock().run_for(minutes(1.0));
      script.rested += Volt(0.0002);
    }
  }
  Place& place() { return *world->bench().place(bay); }
  BatteryScript script;
  std::string ticket;
};

TEST_F(WatchesTest, a_case_that_warms_too_fast_trips_a_draw) {
  begin("reserve capacity");
  world->clock().run_for(minutes(12.0));
  script.kelvin_per_minute = 1.1;
  expect_off_within(minutes(10.1), "the case warmed by 10.", Activity::tripped);
}

TEST_F(WatchesTest, a_case_that_warms_slowly_trips_no_draw) {
  begin("reserve capacity");
  script.kelvin_per_minute = 0.2;
  world->clock().run_for(minutes(60.0));
  EXPECT_FALSE(is_off()) << place().trip();
}

TEST_F(WatchesTest, a_charge_ends_fifteen_kelvin_above_the_room) {
  script.rested = Volt(12.2);
  begin("standard charge");
  script.kelvin_per_minute = 0.5;
  expect_off_within(minutes(31.0), "15 K above 25.0 degC", Activity::tripped);
}

TEST_F(WatchesTest, a_battery_from_the_cold_may_become_as_warm_as_others) {
  script.rested = Volt(12.2);
  script.temperature = Celsius(8.0);
  begin("standard charge");
  script.kelvin_per_minute = 0.25;
  rise_until(world->clock().now() + hours(2.0));
  EXPECT_FALSE(is_off()) << place().trip();
}

TEST_F(WatchesTest, a_charge_current_that_rises_with_the_warmth_trips) {
  script.rested = Volt(13.9);
  script.resistance_ohm = 0.1;  // 5 A at 14.4 V: it tapers from the start
  begin("standard charge");
  world->clock().run_for(minutes(30.0));
  ASSERT_FALSE(is_off()) << place().trip();
  script.kelvin_per_minute = 0.2;
  script.resistance_ohm = 0.085;
  expect_off_within(minutes(5.0), "the battery runs away", Activity::tripped);
}

TEST_F(WatchesTest, a_charge_that_starts_into_a_battery_that_warms_slowly_does_not_trip) {
  script.rested = Volt(12.2);
  script.kelvin_per_minute = 0.12;
  begin("standard charge");
  rise_until(world->clock().now() + hours(1.0));
  EXPECT_FALSE(is_off()) << place().trip();
}

TEST_F(WatchesTest, a_voltage_that_falls_while_all_current_goes_in_trips) {
  script.rested = Volt(12.9);
  begin("standard charge");
  world->clock().run_for(minutes(40.0));
  ASSERT_FALSE(is_off()) << place().trip();
  script.rested = Volt(12.4);
  expect_off_within(minutes(1.5), "a cell shorts", Activity::tripped);
}

TEST_F(WatchesTest, a_clamp_that_works_loose_ends_the_draw_and_is_blamed_before_the_battery) {
  begin("reserve capacity");
  script.clamp_ohm = 0.016;
  expect_off_within(Second(5.0), "mohm at a clamp: clean and reseat the clamps", Activity::ready);
}

TEST_F(WatchesTest, a_clamp_that_gets_better_during_a_draw_was_bad_before) {
  script.clamp_ohm = 0.02;
  begin("reserve capacity");
  script.clamp_ohm = 0.0;
  expect_off_within(Second(5.0), "stepped from", Activity::ready);
}

TEST_F(WatchesTest, a_clamp_that_is_lost_while_charging_ends_the_charge) {
  script.rested = Volt(12.2);
  begin("standard charge");
  ASSERT_TRUE(world->sim().unplug(bay));
  expect_off_within(Second(5.0), "check the clamps, then the charger", Activity::ready);
}

TEST_F(WatchesTest, two_meters_that_disagree_under_load_blame_a_clamp) {
  begin("reserve capacity");
  world->sim().instrument("bay-1.charger")->set_fault(SimInstrument::Fault::stuck_reading, true);
  script.rested = Volt(12.4);
  expect_off_within(Second(25.0), "two meters disagree at 25 A", Activity::ready);
}

TEST_F(WatchesTest, a_thermometer_that_does_not_follow_a_charge_trips_within_the_hour) {
  script.rested = Volt(11.8);
  script.resistance_ohm = 0.2;
  begin("standard charge");
  world->sim().instrument("bay-1.thermometer")->set_fault(SimInstrument::Fault::stuck_reading, true);
  expect_off_within(hours(1.0), "it does not follow the battery", Activity::tripped);
}

TEST_F(WatchesTest, more_charge_than_the_label_can_take_trips) {
  script.rested = Volt(12.2);
  begin("standard charge");
  // 2 x 60 Ah at 12 A, of a battery that never fills.
  rise_until(world->clock().now() + hours(11.0));
  ASSERT_TRUE(is_off());
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("Ah is above the limit of 120.0 Ah"));
}

struct SoundBattery {
  const char* name;
  const char* spec;
  bool ideal;
};

struct EachSoundBattery : WorldTest, testing::WithParamInterface<SoundBattery> {};

TEST_P(EachSoundBattery, passes_every_shipped_procedure_without_a_watch_that_barks) {
  WorldOptions options;
  options.ideal = GetParam().ideal;
  options.seed = 7;
  make_world(std::move(options));
  bring("x", GetParam().spec);
  const std::string ticket = drop_off("S-1");
  for (int hand = 0; hand < 12; ++hand) {
    const auto next = next_work(file(ticket), Policy());
    if (!next) break;
    const std::string to = next->place_kind == PlaceKind::bay ? bay : charging;
    world->clock().run_for(hours(1.0));
    if (file(ticket).ticket.place != to) carry("x", ticket, to);
    work(to);
    ASSERT_EQ(results.back().run.outcome, RunOutcome::complete)
        << results.back().run.procedure << ": " << results.back().run.end_reason;
  }
  ASSERT_TRUE(file(ticket).grade);
  // Nobody recharges by itself what is to be scrapped; a person may.
  if (file(ticket).grade->letter == 'D') {
    carry("x", ticket, charging);
    ASSERT_EQ(world->start(charging, "recharge before leaving").status, 202);
    ASSERT_TRUE(world->finish(charging));
    EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  }
  EXPECT_EQ(file(ticket).newest_run()->procedure, "recharge before leaving");
}

INSTANTIATE_TEST_SUITE_P(
    Kinds, EachSoundBattery,
    testing::Values(SoundBattery{"full", "cell:sound", false}, SoundBattery{"flat", "cell:discharged", false},
                    SoundBattery{"worn", "cell:worn", false},
                    SoundBattery{"in_the_cold", "cell:discharged,ambient_degc=8", false},
                    SoundBattery{"in_the_heat", "cell:discharged,ambient_degc=33", false},
                    SoundBattery{"ideal", "cell:discharged", true},
                    SoundBattery{"small", "cell:discharged,c20_ah=44", false},
                    SoundBattery{"large", "cell:discharged,c20_ah=90", false}),
    [](const auto& each) { return std::string(each.param.name); });

}  // namespace
}  // namespace leadwright
