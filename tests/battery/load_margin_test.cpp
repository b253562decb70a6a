// SPDX-License-Identifier: Apache-2.0
// How far above the least voltage, and how sure: by hand from a rest at 12.6 V and a draw at 25 degC.
#include "daemon/battery/load_margin.h"

#include <gmock/gmock.h>

#include <cmath>

namespace leadwright {
namespace {

using testing::HasSubstr;

class LoadMargin : public testing::Test {
 protected:
  LoadMargin() {
    plate.cells = 6;
    plate.c20 = {ampere_hours(60.0), RatingStandard::en};
    test.rest.mean = Volt(12.6);
    test.loaded.volts = test.volts = Volt(10.8);
    test.loaded.amps = Ampere(180.0);
    test.wanted = {Ampere(180.0), true};
    at_load.measurand = Measurand::load_volts;
  }
  std::vector<Finding> margins() const {
    return load_margins(test, at_load, {}, {Celsius(25.0), Volt(9.6), accuracy, settings, plate});
  }
  LoadTest test;
  Finding at_load;
  MeterAccuracy accuracy;
  EstimatorSettings settings;
  Nameplate plate;
};

TEST_F(LoadMargin, carries_the_batterys_repeatability_and_the_doubt_of_the_table) {
  test.wanted.is_by_capacity = false;
  ASSERT_EQ(margins().size(), 1U);
  const Finding margin = margins()[0];
  EXPECT_EQ(margin.measurand, Measurand::load_margin);
  EXPECT_NEAR(margin.value, 1.2, 1e-9);
  // C: 3 % of the drop of 1.8 V, and 0.1 V as a rectangular distribution; the table is flat above 70 degF.
  EXPECT_NEAR(margin.u, std::hypot(0.054, 0.1 / std::sqrt(3.0)), 1e-6);
  ASSERT_EQ(margin.budget.size(), 3U);
  EXPECT_EQ(margin.budget[1].quantity, "battery's repeatability");
  EXPECT_EQ(margin.budget[2].u_input, "0.10 V rect., published tables");
}

TEST_F(LoadMargin, of_a_load_chosen_by_ampere_hours_is_reckoned_for_half_the_usual_cranking_current) {
  ASSERT_EQ(margins().size(), 2U);
  const Finding usual = margins()[1];
  EXPECT_EQ(usual.measurand, Measurand::load_margin_usual);
  // C: half of 10.7 A x 60 is 321 A; 12.6 - 1.8 x 321 / 180 = 9.39 V.
  EXPECT_NEAR(usual.value, 12.6 - 1.8 * 321.0 / 180.0 - 9.6, 1e-9);
  EXPECT_THAT(usual.method, HasSubstr("estimated for 321 A, half of 10.7 A of CCA for each Ah"));
  // C: 15 % of the added 1.41 V, 3 % of 3.21 V, the table.
  EXPECT_NEAR(usual.u, std::hypot(0.2115, 0.0963, 0.1 / std::sqrt(3.0)), 1e-6);
}

TEST_F(LoadMargin, is_not_reckoned_from_a_draw_that_was_smaller_or_ended_early) {
  test.loaded.ended_early = true;
  EXPECT_EQ(margins().size(), 1U);
  test.loaded.ended_early = false;
  test.estimated = true;
  EXPECT_EQ(margins().size(), 1U);
}

}  // namespace
}  // namespace leadwright
