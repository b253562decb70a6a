// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/acid.h"

#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace leadwright {
namespace {

using testing::HasSubstr;

const Celsius at_80_degf{(80.0 - 32.0) / 1.8};

AcidReading reading(const std::vector<std::optional<double>>& gravity, Celsius acid = at_80_degf) {
  AcidReading read{{}, acid, Utc(1'700'000'000'000'000'000)};
  for (const auto& each : gravity)
    read.gravity.push_back(each ? std::optional(SpecificGravity{*each}) : std::nullopt);
  return read;
}

Finding of(const std::vector<Finding>& findings, Measurand measurand) {
  const auto found = std::ranges::find(findings, measurand, &Finding::measurand);
  EXPECT_NE(found, findings.end()) << key(measurand);
  return found == findings.end() ? Finding{} : *found;
}

Finding rested(double volts, double u = 0.006) {
  Finding ocv;
  ocv.ticket = TicketId{1};
  ocv.run = RunId{3};
  ocv.measurand = Measurand::ocv;
  ocv.value = volts;
  ocv.u = u;
  ocv.conditions = "rested; 25.0 degC";
  ocv.at = Utc(1'700'000'100'000'000'000);
  return ocv;
}

bool has(const std::vector<Finding>& findings, Measurand measurand) {
  return std::ranges::find(findings, measurand, &Finding::measurand) != findings.end();
}

TEST(Acid, is_refused_of_cells_that_nobody_can_open) {
  Nameplate plate;
  plate.cells = 6;
  for (const Chemistry sealed : {Chemistry::agm, Chemistry::gel, Chemistry::lead, Chemistry::unknown}) {
    plate.chemistry = sealed;
    const auto fits = fits_label(reading({1.26}), plate);
    ASSERT_FALSE(fits) << word(sealed);
    EXPECT_EQ(fits.error().code, Errc::refused);
    EXPECT_THAT(fits.error().line(), HasSubstr("leave the hydrometer's readings out"));
  }
  plate.chemistry = Chemistry::efb;
  EXPECT_TRUE(fits_label(reading({1.26}), plate));
  plate.cells = 3;
  EXPECT_FALSE(fits_label(reading({1.26, 1.26, 1.26, 1.26}), plate)) << "it has three cells";
}

// F: service manuals (shared domain notes, section 5): 1.258 at 100 degF is 1.266 at 80 degF.
TEST(Acid, is_referred_to_80_degf_before_anything_is_said) {
  const auto findings = findings_of(reading({1.258, 1.258}, Celsius((100.0 - 32.0) / 1.8)), {});
  const Finding gravity = of(findings, Measurand::acid_gravity);
  EXPECT_NEAR(gravity.value, 1.266, 1e-9);
  EXPECT_THAT(gravity.conditions, HasSubstr("read 1.258 1.258 at 37.8 degC"));
}

TEST(Acid, mean_has_the_hydrometers_error_whole_and_the_eyes_shared) {
  const auto one = of(findings_of(reading({1.265}), {}), Measurand::acid_gravity);
  const auto six =
      of(findings_of(reading({1.265, 1.265, 1.265, 1.265, 1.265, 1.265}), {}), Measurand::acid_gravity);
  // C: 0.005, 0.0025 / sqrt(n) and 2 K x 0.00072/K, rectangular each; nothing to correct at 80 degF.
  EXPECT_NEAR(one.u, std::sqrt((0.005 * 0.005 + 0.0025 * 0.0025 + 0.00144 * 0.00144) / 3.0), 1e-7);
  EXPECT_NEAR(six.u, std::sqrt((0.005 * 0.005 + 0.0025 * 0.0025 / 6.0 + 0.00144 * 0.00144) / 3.0), 1e-7);
  double shares = 0.0;
  for (const BudgetLine& line : six.budget) shares += line.share;
  EXPECT_NEAR(shares, 1.0, 1e-12);
}

TEST(Acid, a_cell_is_compared_with_the_median_of_the_others) {
  const auto findings = findings_of(reading({1.262, 1.258, 1.198, 1.260, std::nullopt, 1.261}), {});
  EXPECT_NEAR(of(findings, Measurand::acid_spread).value, 0.064, 1e-9);
  const Finding below = of(findings, Measurand::acid_cell_below);
  EXPECT_NEAR(below.value, 0.0625, 1e-9);
  EXPECT_THAT(below.method, HasSubstr("cell 3"));
  EXPECT_LT(below.u, 0.002) << "the hydrometer's own error is that of the others as well";
}

TEST(Acid, one_cell_has_no_spread_and_none_says_nothing) {
  const auto one = findings_of(reading({std::nullopt, 1.26}), {});
  EXPECT_FALSE(has(one, Measurand::acid_spread));
  EXPECT_FALSE(has(one, Measurand::acid_cell_below));
  EXPECT_TRUE(has(one, Measurand::soc_by_acid));
  EXPECT_TRUE(findings_of(reading({std::nullopt}), {}).empty());
}

// F: TM 5-4210-230-14&P-1, table 2, and TM 5-1185 for acid of 1.280.
TEST(Acid, charge_doubts_how_strong_its_acid_was_when_full) {
  const Finding half = of(findings_of(reading({1.190}), {}), Measurand::soc_by_acid);
  EXPECT_NEAR(half.value, 0.50, 1e-9);
  EXPECT_GT(half.u, 0.25 / std::sqrt(3.0)) << "acid of 1.280 would be at a quarter";
  EXPECT_LT(half.u, 0.16);
  EXPECT_EQ(of(findings_of(reading({1.290}), {}), Measurand::soc_by_acid).value, 1.0);
}

// F: Bode's potentials (shared domain notes, section 5): 28.18 % by mass is 4 mol/kg and 2.0546 V; its
// density at 20 degC lies between 1.1394 (20 %) and 1.2185 (30 %), M.
TEST(Acid, gives_bodes_volts_and_those_of_the_rule_within_5_mv_from_1_21_to_1_30) {
  EXPECT_NEAR(molality_of({1.2185 - 0.182 * 0.0791}).mol_per_kg, 4.0, 0.01);
  for (double gravity = 1.21; gravity <= 1.30; gravity += 0.01)
    EXPECT_NEAR(bode_cell_volts({gravity}).si(), gravity + 0.845, 0.0055) << gravity;
  EXPECT_GT(bode_cell_volts({1.12}).si(), 1.12 + 0.845 + 0.010) << "the rule reads low in weak acid";
}

TEST(Acid, fits_the_rested_voltage_of_a_sound_battery) {
  const auto six = reading({1.265, 1.265, 1.265, 1.265, 1.265, 1.265});
  const auto apart = ocv_above_acid(six, rested(12.66), 6, {});
  ASSERT_TRUE(apart);
  EXPECT_LT(std::abs(apart->value), 2.0 * apart->u);
  EXPECT_GT(apart->u, 0.015);
  EXPECT_LT(apart->u, 0.035);
  EXPECT_EQ(apart->run, RunId{3});
  EXPECT_THAT(apart->conditions, HasSubstr("by the rule SG + 0.845 12.660 V"));
}

TEST(Acid, of_weak_cells_weighs_each_by_itself) {
  const auto even = ocv_above_acid(reading({1.24, 1.24, 1.24, 1.24, 1.24, 1.24}), rested(12.5), 6, {});
  const auto weak = ocv_above_acid(reading({1.26, 1.26, 1.26, 1.26, 1.26, 1.14}), rested(12.5), 6, {});
  ASSERT_TRUE(even && weak);
  EXPECT_NEAR(even->value, weak->value, 0.04) << "the same mean, and nearly the same volts";
}

TEST(Acid, says_nothing_of_volts_while_a_cell_was_not_read) {
  EXPECT_FALSE(ocv_above_acid(reading({1.26, 1.26, 1.26, 1.26, 1.26}), rested(12.6), 6, {}));
  EXPECT_FALSE(ocv_above_acid(reading({1.26, 1.26, std::nullopt, 1.26, 1.26, 1.26}), rested(12.6), 6, {}));
}

}  // namespace
}  // namespace leadwright
