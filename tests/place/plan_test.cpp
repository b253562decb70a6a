// SPDX-License-Identifier: Apache-2.0
// What a plan says before anything is switched on, for shipped procedures and profiles made here.
#include "daemon/place/plan.h"

#include <gmock/gmock.h>

#include <algorithm>

namespace leadwright {
namespace {

using testing::Contains;
using testing::Field;
using testing::HasSubstr;
using testing::IsEmpty;

Procedure shipped(const std::string& file) {
  auto procedure = load_procedure(LEADWRIGHT_SOURCE_DIR "/config/procedures/" + file);
  if (!procedure) {
    ADD_FAILURE() << procedure.error().front().line();
    return {};
  }
  return *procedure;
}

struct PlanTest : testing::Test {
  PlanTest() {
    load.amps_max = Ampere(60.0);
    charger.amps_max = Ampere(30.0);
    charger.volts_max = Volt(16.5);
    nameplate.chemistry = Chemistry::flooded;
    nameplate.cells = 6;
    nameplate.c20 = {ampere_hours(60.0), RatingStandard::unknown};
    nameplate.cca = {Ampere(540.0), RatingStandard::unknown};
  }
  RunPlan plan(const std::string& file) {
    const Procedure procedure = shipped(file);
    return plan_of({&procedure, nameplate, {&load, &charger, &thermometer}, {}, {}});
  }
  static const PlannedStep& step(const RunPlan& plan, const std::string& name) {
    const auto found =
        std::ranges::find_if(plan.steps, [&](const PlannedStep& each) { return each.account.name == name; });
    EXPECT_NE(found, plan.steps.end()) << name;
    return *found;
  }
  static auto in_the_way(const char* words) { return Contains(Field(&Error::what, HasSubstr(words))); }

  Profile load, charger, thermometer;
  Nameplate nameplate;
};

TEST_F(PlanTest, names_the_variant_that_replaces_a_draw_beyond_the_load) {
  const RunPlan planned = plan("half_cca_load.toml");
  EXPECT_THAT(planned.obstacles, IsEmpty());
  EXPECT_THAT(step(planned, "load").estimated, HasSubstr("can't draw so much"));
  EXPECT_THAT(step(planned, "load").account.does, HasSubstr("draws 60.0 A"));
  load.amps_max = Ampere(400.0);
  EXPECT_THAT(step(plan("half_cca_load.toml"), "load").estimated, IsEmpty());
}

TEST_F(PlanTest, says_once_what_the_label_lacks) {
  nameplate.cca.reset();
  EXPECT_THAT(plan("half_cca_load.toml").obstacles, IsEmpty()) << "its Ah say what to draw";
  nameplate.c20.reset();
  const RunPlan planned = plan("half_cca_load.toml");
  ASSERT_EQ(planned.obstacles.size(), 1U);
  EXPECT_THAT(planned.obstacles, in_the_way("it needs the cranking load (half the CCA, else 3 A for each Ah) "
                                            "of the battery, and its label states none"));
}

TEST_F(PlanTest, refuses_what_would_stop_whatever_is_measured) {
  EXPECT_THAT(plan("three_minute_charge.toml").obstacles, IsEmpty());
  nameplate.chemistry = Chemistry::agm;
  EXPECT_THAT(plan("three_minute_charge.toml").obstacles, in_the_way("for flooded batteries only"));
}

TEST_F(PlanTest, says_where_the_charger_gives_less_than_is_asked) {
  EXPECT_EQ(step(plan("three_minute_charge.toml"), "charge").limited,
            "the charger here gives 30.0 A of the 40.0 A");
  charger.amps_max = Ampere(50.0);
  EXPECT_THAT(step(plan("three_minute_charge.toml"), "charge").limited, IsEmpty());
}

TEST_F(PlanTest, refuses_what_the_instruments_cannot_do) {
  charger.volts_max = Volt(12.0);
  EXPECT_THAT(plan("standard_charge.toml").obstacles, in_the_way("can't be set to"));
  load.amps_max = Ampere(1.0);
  EXPECT_THAT(plan("reserve_capacity.toml").obstacles, in_the_way("can't draw 25.0 A"));
}

TEST_F(PlanTest, refuses_a_place_without_the_instrument) {
  const Procedure procedure = shipped("reserve_capacity.toml");
  const RunPlan planned = plan_of({&procedure, nameplate, {nullptr, &charger, nullptr}, {}, {}});
  EXPECT_THAT(planned.obstacles, in_the_way("this place has no load"));
  EXPECT_THAT(planned.obstacles, in_the_way("this place has no thermometer"));
}

TEST_F(PlanTest, never_plans_energy_for_lithium_or_an_odd_count_of_cells) {
  nameplate.cells = 4;
  EXPECT_FALSE(plan("reserve_capacity.toml").obstacles.empty());
  nameplate.chemistry = Chemistry::lithium;
  const RunPlan planned = plan("standard_charge.toml");
  EXPECT_THAT(planned.obstacles, in_the_way("is never energised"));
  EXPECT_THAT(planned.steps, IsEmpty());
}

TEST_F(PlanTest, refuses_a_parameter_outside_its_limits) {
  const Procedure procedure = shipped("pulse_resistance.toml");
  const PlaceProfiles place{&load, &charger, &thermometer};
  EXPECT_FALSE(plan_of({&procedure, nameplate, place, {{"pulse_current", 500.0}}, {}}).obstacles.empty());
  EXPECT_TRUE(plan_of({&procedure, nameplate, place, {{"pulse_current", 40.0}}, {}}).obstacles.empty());
}

}  // namespace
}  // namespace leadwright
