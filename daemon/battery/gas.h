// SPDX-License-Identifier: Apache-2.0
// Hydrogen and water of a charge, and the air that it needs. Pure; any thread. Shared domain notes,
// section 7.
#pragma once

#include "daemon/quantities/quantity.h"

namespace leadwright {

/// IEC 62485-2 (F): Q = 0.05 n I in m3/h, I being the current that makes gas. 0.05 m3/(h A) a cell is
/// dilution 24 x 0.42e-3 m3/Ah x safety 5.
double ventilation_m3_per_h(Ampere gassing, int cells);

/// The same for a charge that gasses at so many mA for each Ah of 20-hour capacity (F: vented boost 20,
/// valve-regulated boost 8).
double ventilation_m3_per_h(Coulomb c20, double gassing_ma_per_ah, int cells);

/// Litres of hydrogen at 0 degC and 101.3 kPa from this charge in one cell: one molecule for two electrons
/// (C).
double hydrogen_l(Coulomb overcharge);

/// Grams of water lost by so many cells (C).
double water_lost_g(Coulomb overcharge, int cells);

}  // namespace leadwright
