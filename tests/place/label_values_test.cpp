// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/label_values.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

TEST(LabelValues, capacity_comes_from_c20_else_from_the_reserve_capacity_else_is_forty_ampere_hours) {
  Nameplate plate;
  EXPECT_DOUBLE_EQ(as_ampere_hours(assumed_capacity(plate)), 40.0);
  // 120 min at 25 A are 50 Ah (shared domain notes, section 15, row 1).
  plate.reserve_capacity = Rating<Second>{minutes(120.0), RatingStandard::sae};
  EXPECT_NEAR(as_ampere_hours(assumed_capacity(plate)), 50.0, 1e-9);
  plate.c20 = Rating<Coulomb>{ampere_hours(60.0), RatingStandard::en};
  EXPECT_DOUBLE_EQ(as_ampere_hours(assumed_capacity(plate)), 60.0);
}

TEST(LabelValues, what_the_label_lacks_stays_missing) {
  Nameplate plate;
  plate.chemistry = Chemistry::flooded;
  plate.cells = 6;
  const Values values = label_values(plate, std::nullopt);
  EXPECT_FALSE(values.get(Name::cca));
  EXPECT_FALSE(values.get(Name::reserve_capacity));
  EXPECT_FALSE(values.get(Name::case_temperature));
}

TEST(LabelValues, the_charge_limit_follows_the_case_temperature) {
  Nameplate plate;
  plate.chemistry = Chemistry::flooded;
  plate.cells = 6;
  // 14.4 V at 25 degC and -3 mV/K a cell give 14.22 V at 35 degC (shared domain notes, section 15, row 29).
  EXPECT_NEAR(*label_values(plate, Celsius(35.0)).get(Name::charge_volts), 14.22, 1e-6);
  plate.chemistry = Chemistry::lithium;
  EXPECT_FALSE(label_values(plate, Celsius(35.0)).get(Name::charge_volts));
}

}  // namespace
}  // namespace leadwright
