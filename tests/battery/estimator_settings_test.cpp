// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/estimator_settings.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

TEST(EstimatorSettings, read_the_shipped_file_as_the_built_in_values) {
  const auto settings = load_estimator_settings(LEADWRIGHT_SOURCE_DIR "/config/estimator.toml");
  ASSERT_TRUE(settings);
  const EstimatorSettings built_in;
  EXPECT_EQ(settings->rc_temperature_coefficient_per_k, built_in.rc_temperature_coefficient_per_k);
  EXPECT_EQ(settings->u_rc_temperature_coefficient_per_k, built_in.u_rc_temperature_coefficient_per_k);
  EXPECT_EQ(settings->peukert, built_in.peukert);
  EXPECT_EQ(settings->u_peukert, built_in.u_peukert);
  EXPECT_EQ(settings->u_battery_repeatability, built_in.u_battery_repeatability);
  EXPECT_EQ(settings->u_case_to_electrolyte, built_in.u_case_to_electrolyte);
  EXPECT_EQ(settings->usual_cca_per_ah, built_in.usual_cca_per_ah);
  EXPECT_EQ(settings->acid.hydrometer_limit, built_in.acid.hydrometer_limit);
  EXPECT_EQ(settings->acid.reading_limit, built_in.acid.reading_limit);
  EXPECT_EQ(settings->acid.thermometer_limit, built_in.acid.thermometer_limit);
  EXPECT_EQ(settings->acid.per_10_degf_limit, built_in.acid.per_10_degf_limit);
  EXPECT_EQ(settings->acid.cell_volts_limit, built_in.acid.cell_volts_limit);
  EXPECT_EQ(settings->acid.u_battery, built_in.acid.u_battery);
  EXPECT_EQ(settings->forecast.weak_cell_share, built_in.forecast.weak_cell_share);
  EXPECT_EQ(settings->forecast.spent_plates_share, built_in.forecast.spent_plates_share);
  EXPECT_EQ(settings->forecast.unwarned_from, built_in.forecast.unwarned_from);
  EXPECT_EQ(settings->forecast.label_share, built_in.forecast.label_share);
  EXPECT_EQ(settings->forecast.label_spread, built_in.forecast.label_spread);
  EXPECT_EQ(settings->forecast.earlier_spread, built_in.forecast.earlier_spread);
}

TEST(EstimatorSettings, report_every_mistake_with_its_place) {
  const auto settings =
      read_estimator_settings("schema = 1\npeukert = 3.0\npuekert = 1.2\n", "estimator.toml");
  ASSERT_FALSE(settings);
  ASSERT_EQ(settings.error().size(), 2U);
  EXPECT_EQ(settings.error()[0].where.rfind("estimator.toml:2:", 0), 0U) << settings.error()[0].where;
  EXPECT_NE(settings.error()[1].mend.find("peukert"), std::string::npos);
}

TEST(EstimatorSettings, say_which_file_is_missing) {
  const auto settings = load_estimator_settings("/nowhere/estimator.toml");
  ASSERT_FALSE(settings);
  EXPECT_EQ(settings.error()[0].where, "/nowhere/estimator.toml");
}

}  // namespace
}  // namespace leadwright
