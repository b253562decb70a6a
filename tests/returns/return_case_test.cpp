// SPDX-License-Identifier: Apache-2.0
// What comes in is the same for the same seed, and its truth is the battery's own.
#include "tools/returns/return_case.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>

namespace leadwright {
namespace {

ReturnsMix shipped_mix() {
  auto mix = load_returns_mix(LEADWRIGHT_SOURCE_DIR "/config/returns.toml");
  return mix ? *mix : ReturnsMix{};
}

/// A 60 Ah battery of 100 min and 640 A.
ReturnCase labelled(CellBatteryMake make) {
  ReturnCase one;
  one.make = std::move(make);
  one.rated = minutes(100.0);
  one.cca = Ampere(640.0);
  return one;
}

CellBatteryMake faulty(CellFault fault, int cells) {
  CellBatteryMake make;
  make.fault = fault;
  make.faulty_cells = cells;
  return make;
}

TEST(ReturnCase, the_same_number_of_the_same_seed_is_the_same_battery_whatever_was_drawn_before) {
  const ReturnsMix mix = shipped_mix();
  const ReturnCase first = draw_case(mix, 7, 12);
  for (int other = 0; other < 5; ++other) draw_case(mix, 7, other);
  const ReturnCase again = draw_case(mix, 7, 12);
  EXPECT_EQ(first.kind, again.kind);
  EXPECT_EQ(first.make.wear, again.make.wear);
  EXPECT_EQ(first.arrives, again.arrives);
  EXPECT_EQ(first.seed, again.seed);
  EXPECT_NE(first.seed, draw_case(mix, 8, 12).seed);
  EXPECT_NE(first.seed, draw_case(mix, 7, 13).seed);
}

TEST(ReturnCase, kinds_come_as_often_as_their_shares_say) {
  const ReturnsMix mix = shipped_mix();
  std::map<std::string, int> times;
  constexpr int count = 1000;
  for (int number = 0; number < count; ++number) ++times[draw_case(mix, 3, number).kind];
  for (const BatteryKind& kind : mix.kinds) {
    // Four standard deviations of a binomial count.
    const double room = 4.0 * std::sqrt(count * kind.share * (1.0 - kind.share));
    EXPECT_NEAR(times[kind.name], count * kind.share, room) << kind.name;
  }
}

TEST(ReturnCase, comes_while_the_shop_is_open_and_never_emptier_than_its_plates_are) {
  const ReturnsMix mix = shipped_mix();
  for (int number = 0; number < 200; ++number) {
    const ReturnCase one = draw_case(mix, 5, number);
    EXPECT_GE(one.arrives, mix.people.opens);
    EXPECT_LE(one.arrives, mix.people.closes);
    EXPECT_GE(one.make.charged, CellBattery::emptied_at(one.make));
    EXPECT_LE(one.make.charged, 1.0);
  }
}

TEST(ReturnCase, may_be_smaller_than_its_label_and_then_lacks_what_that_promises) {
  ReturnsMix mix = shipped_mix();
  mix.kinds.resize(1);
  mix.kinds.front().of_label = MixSpan{0.5, 0.6};
  const ReturnCase one = draw_case(mix, 5, 0);
  EXPECT_GE(one.make.c20 / one.label_c20, 0.5);
  EXPECT_LE(one.make.c20 / one.label_c20, 0.6);
  mix.kinds.front().of_label.reset();
  const ReturnCase true_to_label = draw_case(mix, 5, 0);
  EXPECT_EQ(true_to_label.make.c20.si(), true_to_label.label_c20.si());
  EXPECT_EQ(one.label_c20.si(), true_to_label.label_c20.si());
  EXPECT_LT(truth_of(one).share, 0.7 * truth_of(true_to_label).share);
}

TEST(Truth, of_a_sound_battery_is_good_and_of_one_without_material_is_bad_by_its_minutes) {
  const Truth sound = truth_of(labelled({}));
  EXPECT_TRUE(sound.is_good(1.0));
  EXPECT_NEAR(sound.share, 1.13, 0.03);
  CellBatteryMake make;
  make.wear = 0.3;
  make.charged = 0.9;
  const Truth worn = truth_of(labelled(make));
  EXPECT_FALSE(worn.is_good(0.6));
  EXPECT_TRUE(worn.is_by_minutes());
  EXPECT_LT(worn.distance(0.6), 0.0);
}

TEST(Truth, of_a_battery_that_takes_charge_does_not_depend_on_the_charge_it_comes_in_with) {
  CellBatteryMake flat;
  flat.charged = 0.1;
  flat.ambient = Celsius(16.0);
  const Truth came_flat = truth_of(labelled(flat));
  const Truth came_full = truth_of(labelled({}));
  EXPECT_NEAR(came_flat.minutes / came_full.minutes, 1.0, 0.003);
  EXPECT_NEAR(came_flat.minutes / came_flat.minutes_if_filled, 1.0, 0.003) << "a day fills it";
  EXPECT_NEAR(came_flat.load_margin.si(), came_full.load_margin.si(), 0.01);
}

// The minutes that its plates would give are nobody's who can't charge it.
TEST(Truth, of_a_sulphated_battery_is_what_it_gives_after_a_day_of_charging_not_what_it_would_give_full) {
  CellBatteryMake make = faulty(CellFault::sulphated, 6);
  make.charged = 0.3;
  const Truth truth = truth_of(labelled(make));
  EXPECT_LT(truth.minutes, truth.minutes_if_filled * 0.99);
  EXPECT_GT(truth.minutes, truth.minutes_if_filled * 0.5);
  EXPECT_EQ(truth.minutes_if_filled, CellBattery(make).truth_at_25a());
}

TEST(Truth, between_the_two_kinds_of_minutes_makes_a_battery_bad_that_would_be_good_if_it_were_filled) {
  Truth truth;
  truth.load_margin = Volt(1.0);
  truth.share = 0.55;
  truth.share_if_filled = 0.65;
  EXPECT_FALSE(truth.is_good(0.6));
  EXPECT_TRUE(truth.is_good_if_filled(0.6));
}

TEST(Truth, a_corroded_joint_has_its_minutes_and_does_not_crank) {
  const Truth truth = truth_of(labelled(faulty(CellFault::high_resistance, 1)));
  EXPECT_GT(truth.share, 0.9);
  EXPECT_LT(truth.load_margin.si(), -1.0);
  EXPECT_FALSE(truth.is_good(0.6));
  EXPECT_FALSE(truth.is_by_minutes());
}

TEST(Truth, what_empties_itself_or_is_cracked_is_bad_whatever_it_gives) {
  EXPECT_FALSE(truth_of(labelled(faulty(CellFault::self_discharge, 1))).is_good(0.6));
  ReturnCase cracked = labelled({});
  cracked.cracked = true;
  EXPECT_FALSE(truth_of(cracked).is_good(0.6));
}

TEST(Truth, with_a_shorted_cell_or_an_open_joint_gives_next_to_nothing) {
  EXPECT_LT(truth_of(labelled(faulty(CellFault::shorted, 1))).share, 0.05);
  EXPECT_LT(truth_of(labelled(faulty(CellFault::open, 1))).share, 0.05);
}

}  // namespace
}  // namespace leadwright
