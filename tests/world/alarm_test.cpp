// SPDX-License-Identifier: Apache-2.0
// The inputs of the room: stop, smoke, gas and airflow stop everything, and the siren sounds until a person
// acknowledged what tripped.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

constexpr int siren = 7;
/// Two looks that agree, their exchanges, and the load's own bytes.
constexpr Second heard_within{0.5};

class AlarmTest : public WorldTest {
 protected:
  void SetUp() override {
    WorldOptions options;
    options.alarms = true;
    make_world(std::move(options));
  }
  RelayBox& box() { return *world->sim().relay_box("box-1"); }
  Place& place() { return *world->bench().place(bay); }
  void begin_discharge() {
    ticket = begin_run("cell:sound", "reserve capacity");
    world->clock().run_for(minutes(5.0));
    ASSERT_FALSE(is_off()) << place().trip() << place().problem();
  }
  std::string ticket;
};

struct RoomInput {
  const char* name;
  int number;
  const char* words;
};

struct EachInput : AlarmTest, testing::WithParamInterface<RoomInput> {};

TEST_P(EachInput, stops_everything_sounds_the_siren_and_keeps_energy_off) {
  begin_discharge();
  box().relays().set_input(GetParam().number, false);
  world->clock().run_for(heard_within);
  EXPECT_TRUE(is_off());
  world->clock().run_for(Second(5.0));
  EXPECT_EQ(place().activity(), Activity::tripped);
  EXPECT_THAT(place().trip(), HasSubstr(GetParam().words));
  EXPECT_TRUE(box().relays().is_closed(siren));
  EXPECT_THAT(world->bench().snapshot(), HasSubstr("nothing is energised: "));
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"trip","why":"looked at it"})").status, 200);
  world->clock().run_for(Second(1.0));
  EXPECT_TRUE(box().relays().is_closed(siren)) << "the input still calls";
  const Response refused = world->start(bay);
  EXPECT_EQ(refused.status, 409) << refused.body;
  EXPECT_THAT(refused.body, HasSubstr(GetParam().words));
  box().relays().set_input(GetParam().number, true);
  world->clock().run_for(Second(1.0));
  EXPECT_FALSE(box().relays().is_closed(siren));
  EXPECT_EQ(world->start(bay).status, 202);
}

INSTANTIATE_TEST_SUITE_P(Room, EachInput,
                         testing::Values(RoomInput{"stop", 0, "the stop button is pressed"},
                                         RoomInput{"smoke", 1, "smoke"}, RoomInput{"gas", 2, "gas"},
                                         RoomInput{"airflow", 3, "no airflow"}),
                         [](const auto& each) { return std::string(each.param.name); });

TEST_F(AlarmTest, one_flicker_of_an_input_is_no_alarm) {
  begin_discharge();
  box().relays().set_input(1, false);
  world->clock().run_for(Second(0.05));
  box().relays().set_input(1, true);
  world->clock().run_for(Second(2.0));
  EXPECT_FALSE(is_off());
}

TEST_F(AlarmTest, a_box_that_nobody_hears_stops_everything) {
  begin_discharge();
  auto& link = dynamic_cast<MemoryLink&>(world->bench().boxes().front()->watch().instrument().link());
  link.unplug();
  world->clock().run_for(Second(2.0));
  EXPECT_TRUE(is_off());
  EXPECT_THAT(place().trip(), HasSubstr("nobody hears the inputs of box-1"));
}

TEST_F(AlarmTest, a_box_that_falls_silent_stops_everything_within_its_freshness) {
  begin_discharge();
  box().set_fault(SimInstrument::Fault::no_answer, true);
  world->clock().run_for(Second(3.0));
  EXPECT_TRUE(is_off());
}

TEST_F(AlarmTest, the_siren_sounds_for_a_trip_until_it_is_acknowledged) {
  begin_discharge();
  world->sim().instrument("bay-1.load")->set_fault(SimInstrument::Fault::stuck_reading, true);
  ASSERT_TRUE(world->finish(bay, minutes(10.0)));
  world->clock().run_for(Second(1.0));
  EXPECT_TRUE(box().relays().is_closed(siren));
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"trip","why":"looked at it"})").status, 200);
  world->clock().run_for(Second(1.0));
  EXPECT_FALSE(box().relays().is_closed(siren));
}

}  // namespace
}  // namespace leadwright
