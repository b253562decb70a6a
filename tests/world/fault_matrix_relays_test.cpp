// SPDX-License-Identifier: Apache-2.0
// Rows of the fault matrix: a relay that is stuck, either way, and two relays of one load closed at once.
#include <random>

#include "tests/world/wire_log.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

constexpr const char* own_load = "memory:bay-1.load";
constexpr const char* charger_of_bay_1 = "memory:bay-1.charger";
constexpr const char* charger_of_bay_2 = "memory:bay-2.charger";
constexpr const char* shared_load = "memory:load-1";
constexpr std::uint64_t relay_seeds = 10;
/// One attempt to read back off (a load that answers but keeps on: its proof waits 1 s), and the contact.
constexpr Second other_way_within{2.0};
/// The box's watchdog (5 s), after which its contacts open by themselves.
constexpr Second box_falls_off_within{5.1};

class FaultMatrixRelays : public WorldTest {
 protected:
  void with(Switchgear gear, int bays, std::uint64_t seed) {
    world.reset();
    results.clear();
    log.clear();
    WorldOptions options;
    options.switchgear = gear;
    options.bays = bays;
    options.seed = seed;
    options.answer_after = Second(0.005);
    options.tap = log.tap();
    make_world(std::move(options));
    for (int number = 1; number <= bays; ++number) {
      const std::string place = "bay-" + std::to_string(number);
      const std::string battery = "x-" + place;
      bring(battery, "cell:sound");
      carry(battery, drop_off(battery, "flooded", 6, "reserve capacity"), place);
    }
    began = world->clock().now();
  }
  RelayBox& box() { return *world->sim().relay_box("box-1"); }
  Place& place(const char* name) { return *world->bench().place(name); }
  /// In mid-draw, at a moment between two samples that the seed chooses.
  void draw_at(const char* name, std::uint64_t seed) {
    ASSERT_EQ(world->start(name).status, 202);
    std::mt19937_64 random(seed);
    world->clock().run_for(minutes(3.0) + Second(static_cast<double>(random() >> 11U) * 0x1.0p-53));
    ASSERT_GT(drawn(name), Ampere(24.0)) << place(name).trip() << place(name).problem();
  }
  WorldWireLog log;
  Instant began;
};

TEST_F(FaultMatrixRelays, an_isolator_stuck_open_gets_no_energy) {
  for (std::uint64_t seed = 1; seed <= relay_seeds; ++seed) {
    with(Switchgear::isolators, 1, seed);
    box().set_relay_fault(0, RelayFault::stuck_open);
    ASSERT_EQ(world->start(bay).status, 202);
    ASSERT_TRUE(world->finish(bay, minutes(5.0)));
    EXPECT_EQ(log.energy_count(own_load, began), 0) << "seed " << seed;
    EXPECT_EQ(log.energy_count(charger_of_bay_1, began), 0) << "seed " << seed;
    EXPECT_GT(log.off_count(own_load, began), 0);
    EXPECT_THAT(place(bay).trip(), HasSubstr("the contact does not close"));
    EXPECT_FALSE(results.back().began);
  }
}

TEST_F(FaultMatrixRelays, an_isolator_stuck_closed_gets_no_energy) {
  for (std::uint64_t seed = 1; seed <= relay_seeds; ++seed) {
    with(Switchgear::isolators, 1, seed);
    box().relays().set_coil(0, true);
    box().set_relay_fault(0, RelayFault::welded);
    ASSERT_EQ(world->start(bay).status, 202);
    ASSERT_TRUE(world->finish(bay, minutes(5.0)));
    EXPECT_EQ(log.energy_count(own_load, began), 0) << "seed " << seed;
    EXPECT_EQ(log.energy_count(charger_of_bay_1, began), 0) << "seed " << seed;
    EXPECT_THAT(place(bay).trip(), HasSubstr("the contact is welded"));
    EXPECT_FALSE(results.back().began);
  }
}

TEST_F(FaultMatrixRelays, a_load_that_keeps_on_behind_a_sound_isolator_is_safe_within_its_time) {
  for (std::uint64_t seed = 1; seed <= relay_seeds; ++seed) {
    with(Switchgear::isolators, 1, seed);
    draw_at(bay, seed);
    world->sim().instrument("bay-1.load")->set_fault(SimInstrument::Fault::ignores_off, true);
    const Instant stopped = world->clock().now();
    ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
    ASSERT_TRUE(
        world->clock().run_until([this] { return drawn(bay) == Ampere(0.0); }, stopped + other_way_within))
        << "seed " << seed;
    ASSERT_TRUE(world->finish(bay, minutes(5.0)));
    EXPECT_GT(log.off_count(own_load, stopped), 0);
    EXPECT_GT(log.off_count(charger_of_bay_1, stopped), 0);
    EXPECT_EQ(log.on_count(own_load, stopped), 0);
    EXPECT_EQ(log.on_count(charger_of_bay_1, stopped), 0);
    EXPECT_THAT(place(bay).trip(), HasSubstr("its isolator was opened and read back"));
  }
}

TEST_F(FaultMatrixRelays, a_box_that_is_lost_in_a_draw_takes_its_contact_along) {
  for (std::uint64_t seed = 1; seed <= relay_seeds; ++seed) {
    with(Switchgear::isolators, 1, seed);
    draw_at(bay, seed);
    const Instant lost = world->clock().now();
    dynamic_cast<MemoryLink&>(world->bench().boxes().front()->watch().instrument().link()).unplug();
    world->clock().run_for(box_falls_off_within);
    EXPECT_EQ(drawn(bay), Ampere(0.0)) << "seed " << seed;
    ASSERT_TRUE(world->finish(bay, minutes(5.0)));
    EXPECT_GT(log.off_count(own_load, lost), 0);
    EXPECT_GT(log.off_count(charger_of_bay_1, lost), 0);
    EXPECT_EQ(log.on_count(own_load, lost), 0);
    EXPECT_NE(results.back().run.outcome, RunOutcome::complete);
  }
}

TEST_F(FaultMatrixRelays, two_relays_closed_at_once_get_no_energy_and_join_no_batteries) {
  for (std::uint64_t seed = 1; seed <= relay_seeds; ++seed) {
    for (const RelayFault fault : {RelayFault::welded, RelayFault::ignored}) {
      with(Switchgear::shared_load, 2, seed);
      box().relays().set_coil(1, true);
      box().set_relay_fault(1, fault);
      ASSERT_EQ(world->start("bay-1").status, 202);
      ASSERT_TRUE(world->finish("bay-1", minutes(5.0)));
      EXPECT_THAT(world->sim().joined(), IsEmpty()) << "seed " << seed;
      for (const char* link : {shared_load, charger_of_bay_1, charger_of_bay_2}) {
        EXPECT_EQ(log.energy_count(link, began), 0) << link << " seed " << seed;
      }
      EXPECT_FALSE(box().relays().is_closed(0));
      EXPECT_EQ(place("bay-1").activity(), Activity::tripped);
      EXPECT_FALSE(results.back().began);
    }
  }
}

TEST_F(FaultMatrixRelays, a_relay_that_welds_in_a_draw_never_lets_the_other_bay_in) {
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    with(Switchgear::shared_load, 2, seed);
    draw_at("bay-1", seed);
    box().set_relay_fault(0, RelayFault::welded);
    ASSERT_EQ(world->start("bay-2").status, 202);
    ASSERT_EQ(world->ask("place.stop", "bay-1", R"({"why":"test"})").status, 200);
    const Instant stopped = world->clock().now();
    ASSERT_TRUE(world->finish("bay-1", minutes(5.0)));
    ASSERT_TRUE(world->finish("bay-2", minutes(5.0)));
    EXPECT_EQ(drawn("bay-1"), Ampere(0.0));
    EXPECT_GT(log.off_count(shared_load, stopped), 0);
    EXPECT_EQ(log.on_count(shared_load, stopped), 0) << "seed " << seed;
    EXPECT_THAT(place("bay-1").trip(), HasSubstr("did not open"));
    EXPECT_THAT(place("bay-2").trip(), HasSubstr("the contact is welded"));
    EXPECT_THAT(world->sim().joined(), IsEmpty()) << "seed " << seed;
  }
}

}  // namespace
}  // namespace leadwright
