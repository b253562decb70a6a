// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, sections 7 and 15.
#include "daemon/battery/gas.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

// Row 26 (F: IEC 62485-2, C).
TEST(Ventilation, of_a_vented_battery_at_boost_charge) {
  EXPECT_NEAR(ventilation_m3_per_h(ampere_hours(70.0), 20.0, 6), 0.42, 1e-6);
}

// Section 7 (C): all of 10 A into six cells need 3.0 m3/h.
TEST(Ventilation, counts_all_of_the_current_at_worst) {
  EXPECT_NEAR(ventilation_m3_per_h(Ampere(10.0), 6), 3.0, 1e-9);
}

// Row 27 (F: 0.42 L, C: 0.4181).
TEST(Hydrogen, is_0_418_litres_an_ampere_hour_and_cell) {
  EXPECT_NEAR(hydrogen_l(ampere_hours(1.0)), 0.418, 0.003);
}

// Row 28 (C): six cells.
TEST(Water, is_lost_at_two_grams_an_ampere_hour_and_block) {
  EXPECT_NEAR(water_lost_g(ampere_hours(1.0), 6), 2.016, 0.002);
}

}  // namespace
}  // namespace leadwright
