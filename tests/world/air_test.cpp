// SPDX-License-Identifier: Apache-2.0
// Charges are admitted as far as the room's air goes.
#include "tests/world/extra_procedures.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::Not;

class AirTest : public WorldTest {
 protected:
  /// A charge of 12 A into six cells needs 3.6 m3/h.
  void make(std::optional<Airflow> airflow, const std::string& procedure = "standard charge") {
    procedures.add(
        "own charge",
        test_step("charge", "charge", "amps = \"wanted\"\nvolts = \"charge_volts\"\nat_most = \"1 h\""),
        R"([parameters.wanted]
what = "The current."
default = "4 A"
min = "1 A"
max = "12 A"
)");
    WorldOptions options;
    options.alarms = true;
    options.change_settings = [this, airflow](Settings& settings) {
      settings.precautions.airflow = airflow;
      settings.procedures_folder = procedures.folder();
    };
    make_world(std::move(options));
    for (const char* place : {bay, charging}) {
      const std::string name = std::string("battery of ") + place;
      bring(name, "cell:discharged");
      carry(name, drop_off(name, "flooded", 6, procedure), place);
    }
  }
  Response start_at(const char* place, const std::string& amps) {
    world->ask("place.acknowledge", place, R"({"of":"cautions"})");
    return world->ask("place.start", place,
                      R"({"procedure":"own charge","parameters":{"wanted":")" + amps + R"("}})");
  }
  ExtraProcedures procedures;
};

TEST_F(AirTest, a_charge_for_which_there_is_no_air_is_refused_with_the_figures) {
  make(Airflow{5.0});
  ASSERT_EQ(world->start(bay).status, 202);
  world->clock().run_for(minutes(2.0));
  const Response second = world->start(charging);
  EXPECT_EQ(second.status, 409);
  EXPECT_THAT(second.body,
              HasSubstr("needs 3.6 m3/h of fresh air, those that go on 3.6 m3/h, and the bench has "
                        "5.0 m3/h"));
  EXPECT_TRUE(is_off(charging));
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(world->start(charging).status, 202);
}

TEST_F(AirTest, what_is_enough_for_both_is_enough) {
  make(Airflow{7.3});
  EXPECT_EQ(world->start(bay).status, 202);
  EXPECT_EQ(world->start(charging).status, 202);
  EXPECT_THAT(world->bench().snapshot(), Not(HasSubstr("fresh air")));
}

TEST_F(AirTest, a_current_that_was_chosen_at_the_start_counts_and_not_the_default) {
  make(Airflow{5.0}, "own charge");
  EXPECT_EQ(start_at(bay, "12 A").status, 202);
  const Response second = start_at(charging, "5 A");
  EXPECT_EQ(second.status, 409);
  EXPECT_THAT(second.body, HasSubstr("needs 1.5 m3/h of fresh air, those that go on 3.6 m3/h"));
  EXPECT_EQ(start_at(charging, "4 A").status, 202);
}

TEST_F(AirTest, where_nobody_declared_the_airflow_the_page_says_what_a_charge_needs) {
  make(std::nullopt);
  ASSERT_EQ(world->start(bay).status, 202);
  ASSERT_EQ(world->start(charging).status, 202);
  world->clock().run_for(Second(1.0));
  EXPECT_THAT(world->bench().snapshot(),
              HasSubstr("is not declared: this charge needs 3.6 m3/h of fresh air"));
}

TEST_F(AirTest, an_airflow_that_is_lost_ends_every_charge_and_none_begins) {
  make(Airflow{60.0});
  ASSERT_EQ(world->start(bay).status, 202);
  ASSERT_EQ(world->start(charging).status, 202);
  world->clock().run_for(minutes(5.0));
  ASSERT_FALSE(is_off(bay) || is_off(charging));
  world->sim().relay_box("box-1")->relays().set_input(3, false);
  world->clock().run_for(Second(0.5));
  EXPECT_TRUE(is_off(bay) && is_off(charging));
  world->clock().run_for(Second(5.0));
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"trip","why":"fan"})").status, 200);
  const Response again = world->start(bay);
  EXPECT_EQ(again.status, 409);
  EXPECT_THAT(again.body, HasSubstr("no airflow"));
}

}  // namespace
}  // namespace leadwright
