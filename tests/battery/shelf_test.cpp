// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, sections 5, 8 and 15.
#include "daemon/battery/shelf.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

constexpr double day_s = 86400.0;

Celsius degf(double degrees) {
  return Celsius((degrees - 32.0) / 1.8);
}

// Row 23 (F: TM 5-4210-230-14&P-1, table 2), and the rest of that table.
TEST(FreezingPoint, meets_the_table) {
  EXPECT_NEAR(freezing_point({1.155}).degc(), -15.0, 1.0);
  EXPECT_NEAR(freezing_point({1.120}).degc(), -9.4, 0.1);
  EXPECT_NEAR(freezing_point({1.190}).degc(), -26.1, 0.1);
  EXPECT_NEAR(freezing_point({1.225}).degc(), -37.2, 0.1);
  EXPECT_NEAR(freezing_point({1.265}).degc(), -59.5, 0.1);
}

TEST(Gravity, of_a_charge_meets_the_table_and_ends_where_it_ends) {
  EXPECT_NEAR(gravity_at(0.25).value, 1.155, 1e-12);
  EXPECT_NEAR(gravity_at(0.875).value, 1.245, 1e-12);
  EXPECT_NEAR(gravity_at(-0.1).value, 1.120, 1e-12);
  EXPECT_NEAR(gravity_at(1.1).value, 1.265, 1e-12);
}

TEST(FreezingPoint, of_water_is_zero_and_of_strong_acid_not_extrapolated) {
  EXPECT_NEAR(freezing_point({1.000}).degc(), 0.0, 1e-9);
  EXPECT_EQ(freezing_point({1.300}).degc(), freezing_point({1.265}).degc());
}

// Row 43 (F: TM 9-6140-200-14, C), and the other two temperatures of section 8.
TEST(GravityLost, in_thirty_days_by_temperature) {
  EXPECT_NEAR(gravity_lost(degf(100.0), Second(30.0 * day_s))->value, 0.075, 1e-9);
  EXPECT_NEAR(gravity_lost(degf(80.0), Second(30.0 * day_s))->value, 0.030, 1e-9);
  EXPECT_NEAR(gravity_lost(degf(50.0), Second(30.0 * day_s))->value, 0.009, 1e-9);
}

TEST(GravityLost, is_not_known_outside_the_temperatures_of_the_table) {
  EXPECT_FALSE(gravity_lost(degf(49.0), Second(day_s)));
  EXPECT_FALSE(gravity_lost(degf(101.0), Second(day_s)));
}

}  // namespace
}  // namespace leadwright
