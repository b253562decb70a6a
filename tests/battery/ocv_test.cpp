// SPDX-License-Identifier: Apache-2.0
// Numbers: shared domain notes, section 15; the row stands beside each.
#include "daemon/battery/ocv.h"

#include <gtest/gtest.h>

#include <cmath>

#include "trace_maker.h"

namespace leadwright {
namespace {

constexpr Volt u_meter{0.01};

Nameplate block(Chemistry chemistry) {
  Nameplate nameplate;
  nameplate.chemistry = chemistry;
  nameplate.cells = 6;
  return nameplate;
}

double share(Chemistry chemistry, double volts, std::optional<Celsius> battery = Celsius(25.0)) {
  const auto soc = state_of_charge(block(chemistry), {Volt(volts), u_meter, battery});
  return soc ? soc->share : -1.0;
}

Celsius fahrenheit(double degrees) {
  return Celsius((degrees - 32.0) / 1.8);
}

// Row 18 (F).
TEST(Hydrometer, corrects_a_warm_reading_to_80_fahrenheit) {
  EXPECT_NEAR(at_80_fahrenheit({1.258}, fahrenheit(100.0)).value, 1.266, 5e-4);
}

// Section 5 (C): 1.270 at 40 F -> 1.254; 1.280 at 0 F -> 1.248.
TEST(Hydrometer, corrects_cold_readings_downwards) {
  EXPECT_NEAR(at_80_fahrenheit({1.270}, fahrenheit(40.0)).value, 1.254, 5e-4);
  EXPECT_NEAR(at_80_fahrenheit({1.280}, fahrenheit(0.0)).value, 1.248, 5e-4);
}

// Row 19 (F/M).
TEST(CellVolts, follow_the_gravity_rule) {
  EXPECT_NEAR(6.0 * cell_volts(SpecificGravity{1.265}).si(), 12.66, 0.005);
}

// Rows 20 and 21 (F: PyBaMM citing Bode), and the rest of the table of section 5 (C).
TEST(CellVolts, follow_bode_at_the_published_molalities) {
  const std::pair<double, double> table[] = {{0.5, 1.8814}, {1.0, 1.9220}, {2.0, 1.9746}, {3.0, 2.0168},
                                             {4.0, 2.0546}, {5.0, 2.0896}, {6.0, 2.1226}};
  for (const auto& [molality, volts] : table)
    EXPECT_NEAR(cell_volts(Molality{molality}).si(), volts, 1e-4) << molality;
}

// Row 22 (C): Nernst's law with activities of Robinson and Stokes (M), another route to the same voltages.
TEST(CellVolts, of_bode_agree_with_nernst_to_two_millivolts) {
  struct Acid {
    double molality;
    double gamma;
    double phi;
  };
  constexpr double e0_v = 2.041;            // M
  constexpr double rt_over_f_v = 0.025693;  // 25 degC
  constexpr double water_kg_per_mol = 0.018015;
  const Acid table[] = {{0.5, 0.1557, 0.676}, {1.0, 0.1316, 0.721}, {2.0, 0.1276, 0.846},
                        {3.0, 0.1422, 0.991}, {4.0, 0.1700, 1.127}, {5.0, 0.2081, 1.245},
                        {6.0, 0.2567, 1.343}};
  for (const Acid& acid : table) {
    const double ln_acid = std::log(4.0 * std::pow(acid.molality * acid.gamma, 3.0));
    const double ln_water = -3.0 * water_kg_per_mol * acid.molality * acid.phi;
    const double nernst_v = e0_v + rt_over_f_v * (ln_acid - ln_water);
    EXPECT_NEAR(cell_volts(Molality{acid.molality}).si(), nernst_v, 0.002) << acid.molality;
  }
}

// Section 5: TM table, 1.265 1.225 1.190 1.155 1.120 are 100 75 50 25 0 %; the lower three by Bode.
TEST(StateOfCharge, meets_the_ladder_of_flooded_acid) {
  EXPECT_NEAR(share(Chemistry::flooded, 12.66), 1.00, 0.005);
  EXPECT_NEAR(share(Chemistry::flooded, 12.42), 0.75, 0.005);
  EXPECT_NEAR(share(Chemistry::flooded, 6.0 * cell_volts(Molality{3.64}).si()), 0.50, 0.005);
  EXPECT_NEAR(share(Chemistry::flooded, 6.0 * cell_volts(Molality{2.88}).si()), 0.25, 0.005);
  EXPECT_NEAR(share(Chemistry::flooded, 6.0 * cell_volts(Molality{2.15}).si()), 0.00, 0.005);
}

// Section 5: a maker's table (F), trade for gel (F).
TEST(StateOfCharge, meets_the_tables_of_agm_and_gel) {
  EXPECT_NEAR(share(Chemistry::agm, 12.6), 0.75, 0.01);
  EXPECT_NEAR(share(Chemistry::agm, 12.3), 0.50, 0.01);
  EXPECT_NEAR(share(Chemistry::agm, 12.0), 0.25, 0.01);
  EXPECT_NEAR(share(Chemistry::gel, 12.8), 1.00, 0.01);
  EXPECT_NEAR(share(Chemistry::gel, 12.1), 0.50, 0.01);
}

TEST(StateOfCharge, of_a_kind_that_nobody_knows_leaves_room_for_every_kind) {
  for (double volts = 12.1; volts <= 12.6; volts += 0.1) {
    const auto known = state_of_charge(block(Chemistry::lead), {Volt(volts), u_meter, Celsius(25.0)});
    for (const auto chemistry : {Chemistry::flooded, Chemistry::efb, Chemistry::agm, Chemistry::gel})
      EXPECT_NEAR(share(chemistry, volts), known->share, 2.0 * known->u) << word(chemistry) << " " << volts;
  }
}

TEST(StateOfCharge, is_clipped_to_a_share) {
  EXPECT_EQ(share(Chemistry::flooded, 13.5), 1.0);
  EXPECT_EQ(share(Chemistry::flooded, 9.0), 0.0);
}

TEST(StateOfCharge, rises_with_the_voltage_for_every_chemistry) {
  for (const auto chemistry :
       {Chemistry::flooded, Chemistry::efb, Chemistry::agm, Chemistry::gel, Chemistry::lead}) {
    double before = -1.0;
    for (double volts = 11.5; volts < 12.8; volts += 0.01) {
      const double now = share(chemistry, volts);
      EXPECT_GE(now, before) << word(chemistry) << " at " << volts;
      before = now;
    }
  }
}

// Section 5: 20 K are 25 mV and 3 % (M).
TEST(StateOfCharge, is_compensated_for_temperature) {
  const double warm = share(Chemistry::flooded, 12.42, Celsius(45.0));
  EXPECT_NEAR(share(Chemistry::flooded, 12.42) - warm, 0.03, 0.01);
}

TEST(StateOfCharge, has_at_least_ten_points_of_uncertainty_without_liquid_acid) {
  for (const auto chemistry : {Chemistry::agm, Chemistry::gel}) {
    EXPECT_GE(state_of_charge(block(chemistry), {Volt(12.5), Volt(0.0), Celsius(25.0)})->u, 0.10);
  }
}

TEST(StateOfCharge, is_less_certain_without_a_temperature) {
  const auto known = state_of_charge(block(Chemistry::flooded), {Volt(12.4), u_meter, Celsius(25.0)});
  const auto unknown = state_of_charge(block(Chemistry::flooded), {Volt(12.4), u_meter, std::nullopt});
  EXPECT_EQ(known->share, unknown->share);
  EXPECT_GT(unknown->u, known->u);
}

TEST(StateOfCharge, is_refused_for_anything_but_lead) {
  for (const auto chemistry : {Chemistry::lithium, Chemistry::other, Chemistry::unknown}) {
    const auto soc = state_of_charge(block(chemistry), {Volt(12.5), u_meter, Celsius(25.0)});
    ASSERT_FALSE(soc);
    EXPECT_EQ(soc.error().code, Errc::refused);
  }
}

Trace resting(Second length, double mv_per_hour) {
  TraceMaker maker;
  maker.step("settle");
  for (double t = 0.0; t <= length.si(); t += 10.0) {
    maker.sample(Volt(12.7 - 1e-3 * mv_per_hour * t / 3600.0), Ampere(0.0)).wait(Second(10.0));
  }
  maker.end("time");
  return std::move(maker.trace());
}

// Section 4 (P): under 5 mV/h for grading; 8 h (F).
TEST(Rest, is_believed_when_the_slope_is_small_or_the_time_long) {
  const Trace settled = resting(minutes(40.0), 4.0);
  EXPECT_TRUE(is_rested(settled, settled.steps[0]));
  const Trace falling = resting(minutes(40.0), 12.0);
  EXPECT_FALSE(is_rested(falling, falling.steps[0]));
  const Trace brief = resting(minutes(20.0), 0.0);
  EXPECT_FALSE(is_rested(brief, brief.steps[0]));
  const Trace long_rest = resting(hours(8.5), 12.0);
  EXPECT_TRUE(is_rested(long_rest, long_rest.steps[0]));
}

}  // namespace
}  // namespace leadwright
