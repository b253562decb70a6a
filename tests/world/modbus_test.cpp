// SPDX-License-Identifier: Apache-2.0
// The whole daemon on instruments that speak Modbus: loads and chargers on lines of their own, the
// thermometers of all places on one.
#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::Not;

struct ModbusBench : WorldTest {
  void SetUp() override {
    WorldOptions options;
    options.speech = SimSpeech::modbus;
    options.bays = 2;
    options.answer_after = Second(0.005);
    make_world(std::move(options));
  }
};

TEST_F(ModbusBench, is_ready_with_everything_off) {
  for (const auto& place : world->bench().places()) {
    if (place->kind() == PlaceKind::shelf) continue;
    EXPECT_EQ(place->activity(), Activity::ready) << place->name() << ": " << place->problem();
    for (const Instrument* instrument : place->instruments().all()) {
      EXPECT_EQ(instrument->identity()->simulated_scale, 1.0) << instrument->name();
    }
  }
}

TEST_F(ModbusBench, has_no_twins_that_nobody_could_tell_apart) {
  EXPECT_THAT(world->bench().snapshot(), Not(HasSubstr("change places")));
}

TEST_F(ModbusBench, says_at_both_places_which_units_nobody_could_tell_apart) {
  std::ifstream shipped(LEADWRIGHT_SOURCE_DIR "/config/profiles/simulated_modbus_load.toml");
  std::string text((std::istreambuf_iterator<char>(shipped)), std::istreambuf_iterator<char>());
  const std::size_t line = text.find("serial = { space");
  text.erase(line, text.find('\n', line) + 1 - line);
  const std::string blind = testing::TempDir() + "leadwright_blind_load.toml";
  std::ofstream(blind) << text;
  WorldOptions options;
  options.speech = SimSpeech::modbus;
  options.bays = 2;
  options.change_settings = [&blind](Settings& settings) {
    for (PlaceSettings& each : settings.places) {
      if (each.load) each.load->profile = blind;
    }
  };
  make_world(std::move(options));
  std::filesystem::remove(blind);
  const std::string snapshot = world->bench().snapshot();
  EXPECT_THAT(snapshot, HasSubstr("bay-1.load and bay-2.load are of one kind and state no serial number"));
  EXPECT_THAT(snapshot, HasSubstr("bay-2.load and bay-1.load are of one kind"));
  EXPECT_THAT(snapshot, HasSubstr("Both are unit 1: give each a number of its own"));
  EXPECT_THAT(snapshot, HasSubstr("by-path"));
  EXPECT_THAT(snapshot, Not(HasSubstr("bay-1.charger and")));
}

TEST_F(ModbusBench, finds_the_same_reserve_capacity_as_over_scpi) {
  std::vector<double> minutes;
  for (const SimSpeech speech : {SimSpeech::modbus, SimSpeech::scpi}) {
    results.clear();
    WorldOptions options;
    options.speech = speech;
    make_world(std::move(options));
    bring("x", "cell:sound");
    const std::string ticket = drop_off("S-1", "flooded", 6, "reserve capacity");
    carry("x", ticket, bay);
    work(bay);
    ASSERT_FALSE(results.empty());
    ASSERT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
    const Finding* found = file(ticket).newest(Measurand::reserve_capacity);
    ASSERT_NE(found, nullptr);
    minutes.push_back(found->value);
  }
  EXPECT_GT(minutes[0], 0.0);
  EXPECT_NEAR(minutes[0], minutes[1], 0.002 * minutes[1]);
}

TEST_F(ModbusBench, works_in_two_bays_whose_thermometers_share_a_line) {
  for (const char* place : {"bay-1", "bay-2"}) {
    const std::string battery = std::string("x-").append(place);
    bring(battery, "cell:sound");
    const std::string ticket = drop_off(battery, "flooded", 6, "reserve capacity");
    carry(battery, ticket, place);
    ASSERT_EQ(world->start(place).status, 202);
  }
  ASSERT_TRUE(world->finish("bay-1"));
  ASSERT_TRUE(world->finish("bay-2"));
  ASSERT_EQ(results.size(), 2U);
  for (const RunResult& result : results) {
    EXPECT_EQ(result.run.outcome, RunOutcome::complete) << result.run.end_reason;
    for (const Sample& sample : result.trace.samples) ASSERT_TRUE(sample.temperature);
  }
}

TEST_F(ModbusBench, charges_and_ends_off) {
  bring("x", "cell:discharged");
  const std::string ticket = drop_off("S-1", "flooded", 6, "standard charge");
  carry("x", ticket, bay);
  work(bay);
  ASSERT_FALSE(results.empty());
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  EXPECT_EQ(world->bench().place(bay)->instruments().charger()->state(), LinkState::ready);
  EXPECT_LT(std::abs(world->bench().place(bay)->live().amps.value_or(Ampere(0.0)).si()), 0.2);
}

TEST_F(ModbusBench, trips_when_the_line_of_the_load_is_pulled_out_in_a_draw) {
  begin_run("cell:sound", "reserve capacity");
  world->clock().run_for(minutes(5.0));
  ASSERT_EQ(world->bench().place(bay)->activity(), Activity::running);
  Instrument* load = world->bench().place(bay)->instruments().load();
  static_cast<MemoryLink&>(load->link()).unplug();
  world->clock().run_for(Second(10.0));
  EXPECT_EQ(world->bench().place(bay)->activity(), Activity::tripped);
  // Nobody can tell it, but it hears nothing for five seconds and switches off by itself.
  EXPECT_EQ(terminals(bay).load_amps(), Ampere(0.0));
}

}  // namespace
}  // namespace leadwright
