// SPDX-License-Identifier: Apache-2.0
// How often the signs of a hydrometer are told of sound batteries, and from where on they see what is wrong:
// drawn batteries, read by a hydrometer, an eye and a meter that err as estimator.toml believes.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

#include "daemon/battery/acid.h"
#include "daemon/grading/acid_signs.h"

namespace leadwright {
namespace {

constexpr int drawn = 4000;
constexpr std::uint64_t seed = 20260701;

struct Wrong {
  double cell_below = 0.0;  ///< one cell's gravity below the others
  double layers = 0.0;      ///< gravity at the top below what the plates see
};

class AcidSignsRate : public testing::Test {
 protected:
  double even(double half) { return half * (2.0 * uniform(random) - 1.0); }

  /// A battery with cells up to 0.005 apart from their mean, somewhere between half full and full.
  Evidence look(const Wrong& wrong) {
    const AcidSettings believed;
    Evidence evidence;
    evidence.nameplate.chemistry = Chemistry::flooded;
    evidence.nameplate.cells = 6;
    const double full = 1.19 + 0.08 * uniform(random);
    const Celsius acid(10.0 + 25.0 * uniform(random));
    const double hydrometer = even(believed.hydrometer_limit.value);
    const double bode = even(believed.cell_volts_limit.si());
    AcidReading reading{{}, Celsius(acid.degc() + even(believed.thermometer_limit.si())), Utc(1000)};
    Volt rests{0.0};
    for (int cell = 0; cell < 6; ++cell) {
      const double gravity = full + even(0.005) - (cell == 2 ? wrong.cell_below : 0.0);
      rests = rests + bode_cell_volts({gravity}) + Volt(bode);
      const double at_acid = gravity - wrong.layers - at_80_fahrenheit({0.0}, acid).value;
      // A scale of 0.005 is read to half a division.
      const double scale = 0.0025;
      const double shown = at_acid + hydrometer;
      reading.gravity.emplace_back(SpecificGravity{std::round(shown / scale) * scale + even(scale / 2.0)});
    }
    evidence.findings = findings_of(reading, believed);
    Finding ocv;
    ocv.measurand = Measurand::ocv;
    ocv.value = (rests + Volt(0.0012 * (acid.degc() + 5.0 * normal(random) - 25.0))).si() + even(0.010);
    ocv.u = 0.010 / std::sqrt(3.0);
    ocv.at = Utc(2000);
    evidence.findings.push_back(*ocv_above_acid(reading, ocv, 6, believed));
    evidence.inspection.acid = reading;
    return evidence;
  }
  /// Share of the drawn ones that show this sign.
  double told(SignKind kind, const Wrong& wrong) {
    int count = 0;
    for (int i = 0; i < drawn; ++i) {
      const auto signs = acid_signs(look(wrong), policy);
      count += std::ranges::find(signs, kind, &Sign::kind) != signs.end() ? 1 : 0;
    }
    const double share = static_cast<double>(count) / drawn;
    std::string name = word(kind);
    name += "_" + std::to_string(std::lround(1000.0 * (wrong.cell_below + wrong.layers)));
    RecordProperty(name, std::to_string(share));
    return share;
  }
  std::mt19937_64 random{seed};
  std::uniform_real_distribution<double> uniform{0.0, 1.0};
  std::normal_distribution<double> normal{0.0, 1.0};
  Policy policy;
};

TEST_F(AcidSignsRate, of_sound_batteries_hardly_one_is_told_anything) {
  for (const SignKind kind :
       {SignKind::weak_cell, SignKind::uneven_cells, SignKind::stratification, SignKind::lacks_volts})
    EXPECT_LE(told(kind, {}), 0.001) << word(kind);
}

TEST_F(AcidSignsRate, a_cell_0_07_below_the_others_is_seen_and_one_0_04_below_is_not_called_weak) {
  EXPECT_GE(told(SignKind::weak_cell, {.cell_below = 0.07}), 0.99);
  EXPECT_LE(told(SignKind::weak_cell, {.cell_below = 0.04}), 0.01);
  EXPECT_GE(told(SignKind::uneven_cells, {.cell_below = 0.045}), 0.95);
}

TEST_F(AcidSignsRate, acid_in_layers_is_seen_from_0_03_between_top_and_plates_on) {
  EXPECT_GE(told(SignKind::stratification, {.layers = 0.03}), 0.95);
  EXPECT_LE(told(SignKind::stratification, {.layers = 0.005}), 0.02);
}

TEST_F(AcidSignsRate, near_a_limit_some_are_seen) {
  EXPECT_LE(told(SignKind::weak_cell, {.cell_below = 0.050}), 0.30);
  EXPECT_GE(told(SignKind::weak_cell, {.cell_below = 0.060}), 0.95);
  EXPECT_LE(told(SignKind::stratification, {.layers = 0.010}), 0.25);
  EXPECT_GE(told(SignKind::stratification, {.layers = 0.020}), 0.75);
}

}  // namespace
}  // namespace leadwright
