// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/gas.h"

namespace leadwright {
namespace {

constexpr double m3_per_h_and_cell_ampere = 0.05;
/// Exact since the SI of 2019, from elementary charge and Avogadro's number.
constexpr double faraday_c_per_mol = 96485.33212;
constexpr double molar_volume_l = 22.414;  ///< ideal gas at 0 degC and 101.325 kPa
constexpr double water_g_per_mol = 18.015;
constexpr double electrons_a_molecule = 2.0;

double molecules_mol(Coulomb overcharge) {
  return overcharge.si() / (electrons_a_molecule * faraday_c_per_mol);
}

}  // namespace

double ventilation_m3_per_h(Ampere gassing, int cells) {
  return m3_per_h_and_cell_ampere * cells * gassing.si();
}

double ventilation_m3_per_h(Coulomb c20, double gassing_ma_per_ah, int cells) {
  return ventilation_m3_per_h(Ampere(1e-3 * gassing_ma_per_ah * as_ampere_hours(c20)), cells);
}

double hydrogen_l(Coulomb overcharge) {
  return molar_volume_l * molecules_mol(overcharge);
}

double water_lost_g(Coulomb overcharge, int cells) {
  return water_g_per_mol * cells * molecules_mol(overcharge);
}

}  // namespace leadwright
