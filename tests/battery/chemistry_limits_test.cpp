// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, sections 7 and 15.
#include "daemon/battery/chemistry_limits.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

// Row 29 (F): 14.4 V at 25 degC, -3 mV/K a cell, at 35 degC 14.22 V.
TEST(ChargeLimit, falls_with_temperature) {
  EXPECT_NEAR(charge_limit(Chemistry::flooded, 6, Celsius(25.0))->si(), 14.40, 1e-6);
  EXPECT_NEAR(charge_limit(Chemistry::flooded, 6, Celsius(35.0))->si(), 14.22, 1e-6);
  EXPECT_NEAR(charge_limit(Chemistry::agm, 3, Celsius(35.0))->si(), 7.11, 1e-6);
}

// F: gel never above 14.4 V; 14.1 V at 25 degC.
TEST(ChargeLimit, keeps_gel_below_14_4_volts_however_cold) {
  EXPECT_NEAR(charge_limit(Chemistry::gel, 6, Celsius(25.0))->si(), 14.1, 1e-6);
  for (double t = -30.0; t < 60.0; t += 1.0)
    EXPECT_LT(charge_limit(Chemistry::gel, 6, Celsius(t))->si(), 14.4) << t;
}

TEST(ChargeLimit, lies_inside_the_envelope_at_every_temperature) {
  for (const auto chemistry : {Chemistry::flooded, Chemistry::efb, Chemistry::agm, Chemistry::gel}) {
    for (const int cells : {3, 6}) {
      for (double t = -40.0; t <= 80.0; t += 5.0) {
        EXPECT_LT(*charge_limit(chemistry, cells, Celsius(t)), envelope_of(chemistry, cells)->volts_max)
            << word(chemistry) << " " << t;
      }
    }
  }
}

TEST(ChargeLimit, of_a_kind_that_nobody_knows_is_the_lowest_of_all_kinds) {
  for (const auto chemistry : {Chemistry::flooded, Chemistry::efb, Chemistry::agm, Chemistry::gel}) {
    for (double t = -10.0; t <= 60.0; t += 5.0) {
      EXPECT_LE(*charge_limit(Chemistry::lead, 6, Celsius(t)), *charge_limit(chemistry, 6, Celsius(t)))
          << word(chemistry) << " " << t;
    }
    EXPECT_LE(envelope_of(Chemistry::lead, 3)->volts_max, envelope_of(chemistry, 3)->volts_max);
    EXPECT_GE(envelope_of(Chemistry::lead, 3)->volts_min, envelope_of(chemistry, 3)->volts_min);
  }
}

TEST(ChargeLimit, is_refused_for_anything_but_lead) {
  for (const auto chemistry : {Chemistry::lithium, Chemistry::other, Chemistry::unknown}) {
    EXPECT_EQ(charge_limit(chemistry, 6, Celsius(25.0)).error().code, Errc::refused);
    EXPECT_EQ(envelope_of(chemistry, 6).error().code, Errc::refused);
  }
  EXPECT_EQ(charge_limit(Chemistry::flooded, 5, Celsius(25.0)).error().code, Errc::bad_input);
}

TEST(Envelope, counts_its_volts_by_the_cell) {
  const auto twelve = envelope_of(Chemistry::flooded, 6);
  const auto six = envelope_of(Chemistry::flooded, 3);
  EXPECT_NEAR(twelve->volts_max.si(), 16.2, 1e-9);
  EXPECT_NEAR(twelve->volts_min.si(), 9.0, 1e-9);
  EXPECT_NEAR(six->volts_max.si(), 8.1, 1e-9);
  EXPECT_NEAR(envelope_of(Chemistry::gel, 6)->volts_max.si(), 14.4, 1e-9);
  EXPECT_EQ(twelve->case_max, Celsius(50.0));
}

}  // namespace
}  // namespace leadwright
