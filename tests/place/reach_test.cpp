// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/reach.h"

#include <gmock/gmock.h>

namespace leadwright {
namespace {

using testing::HasSubstr;

Profile small_load() {
  Profile load;
  load.name = "small load";
  load.amps_min = Ampere(0.5);
  load.amps_max = Ampere(30.0);
  load.watts_max = Watt(300.0);
  load.full_current_volts_min = Volt(2.0);
  return load;
}

TEST(Reach, takes_what_every_limit_allows) {
  EXPECT_TRUE(can_draw(small_load(), Ampere(25.0), Volt(12.0), Volt(10.5)));
  EXPECT_TRUE(can_draw(Profile{}, Ampere(500.0), Volt(12.0), std::nullopt))
      << "nothing declared, nothing known";
}

TEST(Reach, refuses_a_draw_beyond_current_power_or_lowest_voltage) {
  EXPECT_THAT(can_draw(small_load(), Ampere(31.0), Volt(6.0), {}).error().what,
              HasSubstr("can't draw 31.0 A"));
  EXPECT_THAT(can_draw(small_load(), Ampere(0.1), Volt(12.0), {}).error().what,
              HasSubstr("as little as 0.10 A"));
  EXPECT_THAT(can_draw(small_load(), Ampere(26.0), Volt(12.6), {}).error().what, HasSubstr("328 W"));
  EXPECT_THAT(can_draw(small_load(), Ampere(10.0), Volt(12.0), Volt(1.5)).error().what,
              HasSubstr("down to 2.00 V only"));
}

TEST(Reach, lowers_a_charge_to_the_chargers_current_and_power) {
  Profile charger;
  charger.volts_max = Volt(15.0);
  charger.amps_max = Ampere(20.0);
  charger.watts_max = Watt(144.0);
  EXPECT_EQ(charge_limit(charger, Volt(14.4), Ampere(5.0)), Ampere(5.0));
  EXPECT_EQ(charge_limit(charger, Volt(6.0), Ampere(50.0)), Ampere(20.0));
  EXPECT_NEAR(charge_limit(charger, Volt(14.4), Ampere(15.0)).si(), 10.0, 1e-9);
  EXPECT_FALSE(can_charge(charger, Volt(15.1)));
  EXPECT_TRUE(can_charge(charger, Volt(14.4)));
}

}  // namespace
}  // namespace leadwright
