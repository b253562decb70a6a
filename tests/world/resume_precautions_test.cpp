// SPDX-License-Identifier: Apache-2.0
// What an interruption may not hide: how flat a battery was, that an instrument may be another one, and whose
// battery a last look saw.
#include <filesystem>
#include <fstream>
#include <iterator>

#include "tests/world/scripted_battery.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

/// At places with protection of their own, which need nobody there.
class ResumePrecautions : public WorldTest {
 protected:
  void SetUp() override { make_world(); }
  void begin_charge() {
    ASSERT_TRUE(world->sim().shelve("x", std::make_unique<ScriptedBattery>(script)));
    ticket = drop_off("S-1", "flooded", 6, "standard charge");
    carry("x", ticket, bay);
    ASSERT_EQ(world->start(bay).status, 202);
    world->clock().run_for(minutes(10.0));
    ASSERT_EQ(place().activity(), Activity::running) << results.back().run.end_reason;
    ASSERT_GT(charged(), Ampere(5.0));
  }
  /// Dead for that long, then until everything is connected, settled and looked at.
  void die(Second dead_for = Second(5.0)) {
    world->kill();
    world->clock().run_for(dead_for);
    world->restart();
    world->clock().run_for(Second(70.0));
  }
  Ampere charged() {
    world->sim().terminals(bay)->settle(world->clock().now());
    return terminals(bay).charger_amps();
  }
  /// No current flows in the next ten minutes.
  void expect_it_waits() {
    for (int s = 0; s < 600; ++s) {
      world->clock().run_for(Second(1.0));
      ASSERT_TRUE(is_off()) << s << " s later";
    }
  }
  Response resume() { return world->ask("place.resume", bay, R"({"why":"it looks well"})"); }
  Place& place() { return *world->bench().place(bay); }
  BatteryScript script;
  std::string ticket;
};

TEST_F(ResumePrecautions, a_battery_that_rested_below_10_5_v_waits_for_a_person_whatever_its_surface_charge) {
  script.rested = Volt(9.8);
  begin_charge();
  script.rested = Volt(12.0);
  world->clock().run_for(minutes(1.0));
  die();
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  EXPECT_THAT(place().run()->attended_because(),
              HasSubstr("a battery at 9.80 V, below 10.50 V, is attended"));
  EXPECT_THAT(world->bench().snapshot(), HasSubstr("look at the battery, then let it go on"));
  expect_it_waits();
  ASSERT_EQ(resume().status, 200);
  world->clock().run_for(Second(10.0));
  EXPECT_GT(charged(), Ampere(5.0));
  world->clock().run_for(minutes(30.0));
  EXPECT_TRUE(is_off()) << "nobody has confirmed to be there";
}

TEST_F(ResumePrecautions, its_rest_is_not_forgotten_by_the_second_interruption) {
  script.rested = Volt(9.8);
  begin_charge();
  script.rested = Volt(12.0);
  world->clock().run_for(minutes(1.0));
  die();
  ASSERT_EQ(resume().status, 200);
  world->clock().run_for(minutes(5.0));
  ASSERT_GT(charged(), Ampere(5.0));
  die();
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  EXPECT_THAT(place().run()->attended_because(),
              HasSubstr("a battery at 9.80 V, below 10.50 V, is attended"));
  expect_it_waits();
}

TEST_F(ResumePrecautions, a_battery_that_rested_above_10_5_v_goes_on_by_itself) {
  script.rested = Volt(10.6);
  begin_charge();
  script.rested = Volt(12.0);
  world->clock().run_for(minutes(1.0));
  die();
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  EXPECT_EQ(place().run()->attended_because(), "");
  EXPECT_GT(charged(), Ampere(5.0));
}

TEST_F(ResumePrecautions, a_reversed_battery_at_the_look_before_it_goes_on_is_no_fault_of_this_ticket) {
  begin_charge();
  world->kill();
  ASSERT_TRUE(world->sim().unplug(bay));
  bring("y", "cell:reversed");
  ASSERT_TRUE(world->sim().move("y", bay));
  world->restart();
  world->clock().run_for(Second(70.0));
  EXPECT_EQ(place().run(), nullptr);
  EXPECT_TRUE(is_off());
  ASSERT_FALSE(file(ticket).runs.empty());
  EXPECT_EQ(file(ticket).runs.back().outcome, RunOutcome::void_);
  EXPECT_THAT(file(ticket).runs.back().end_reason, HasSubstr("the battery is reversed"));
  EXPECT_TRUE(file(ticket).faults.empty()) << "nobody could tell whose battery it was";
  EXPECT_FALSE(file(ticket).grade);
  EXPECT_FALSE(place().ask());
  world->clock().run_for(Second(1.0));
  const auto stored = world->store().load();
  ASSERT_TRUE(stored);
  EXPECT_TRUE(stored->faults.empty());
}

/// Chargers of one kind at the bay and at the charging place, whose profile pins a serial number or not.
class Twins : public ResumePrecautions {
 protected:
  void SetUp() override {}
  void make_chargers(bool with_serial) {
    std::ifstream shipped(LEADWRIGHT_SOURCE_DIR "/config/profiles/simulated_charger.toml");
    std::string text((std::istreambuf_iterator<char>(shipped)), std::istreambuf_iterator<char>());
    const std::string pins = ", \"serial\"]";
    const std::size_t at = text.find(pins);
    ASSERT_NE(at, std::string::npos);
    if (!with_serial) text.replace(at, pins.size(), "]");
    const std::string profile = testing::TempDir() + "leadwright_" +
                                testing::UnitTest::GetInstance()->current_test_info()->name() + ".toml";
    std::ofstream(profile) << text;
    WorldOptions options;
    options.change_settings = [&profile](Settings& settings) {
      for (PlaceSettings& each : settings.places) {
        if (each.charger) each.charger->profile = profile;
      }
    };
    make_world(std::move(options));
    std::filesystem::remove(profile);
  }
};

TEST_F(Twins, that_nobody_could_tell_apart_end_a_run_that_was_interrupted_for_more_than_a_minute) {
  make_chargers(false);
  begin_charge();
  die(Second(65.0));
  EXPECT_EQ(place().run(), nullptr);
  EXPECT_TRUE(is_off());
  ASSERT_FALSE(file(ticket).runs.empty());
  EXPECT_EQ(file(ticket).runs.back().outcome, RunOutcome::void_);
  EXPECT_THAT(file(ticket).runs.back().end_reason,
              HasSubstr("nobody could see it if its instruments were exchanged"));
  world->clock().run_for(minutes(10.0));
  EXPECT_TRUE(is_off());
}

TEST_F(Twins, let_a_run_go_on_after_less_than_a_minute_in_which_nobody_exchanges_them) {
  make_chargers(false);
  begin_charge();
  die(Second(5.0));
  ASSERT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  EXPECT_GT(charged(), Ampere(5.0));
}

TEST_F(Twins, end_it_too_if_they_are_not_ready_within_the_minute) {
  make_chargers(false);
  begin_charge();
  world->kill();
  world->sim().instrument("bay-1.charger")->set_fault(SimInstrument::Fault::no_answer, true);
  world->begin();
  world->clock().run_for(Second(20.0));
  EXPECT_EQ(file(ticket).ticket.state, TicketState::charging) << "it waits";
  world->clock().run_for(minutes(1.0));
  world->sim().instrument("bay-1.charger")->set_fault(SimInstrument::Fault::no_answer, false);
  world->clock().run_for(minutes(5.0));
  EXPECT_EQ(place().run(), nullptr);
  EXPECT_TRUE(is_off());
  ASSERT_FALSE(file(ticket).runs.empty());
  EXPECT_THAT(file(ticket).runs.back().end_reason,
              HasSubstr("nobody could see it if its instruments were exchanged"));
}

TEST_F(Twins, are_none_where_each_states_a_serial_number) {
  make_chargers(true);
  begin_charge();
  die(Second(65.0));
  EXPECT_NE(place().run(), nullptr) << file(ticket).ticket.state_reason;
  EXPECT_EQ(file(ticket).ticket.state, TicketState::charging);
}

}  // namespace
}  // namespace leadwright
