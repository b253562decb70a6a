// SPDX-License-Identifier: Apache-2.0
// What is believed of a look with a hydrometer; config/estimator.toml, table [acid], gives each value its
// mark.
#pragma once

#include "daemon/battery/acid_reading.h"
#include "daemon/quantities/quantity.h"

namespace leadwright {

/// Half-widths of rectangular distributions, but for the last.
struct AcidSettings {
  SpecificGravity hydrometer_limit{0.005};  ///< one error for all cells
  SpecificGravity reading_limit{0.0025};    ///< of the eye, another one for each cell
  Kelvin thermometer_limit{2.0};
  SpecificGravity per_10_degf_limit{0.001};  ///< of the 0.004 for each 10 degF
  Volt cell_volts_limit{0.005};              ///< of what acid of a known strength gives
  Kelvin u_battery{5.0};                     ///< standard: the plates against the acid, and between two looks
};

}  // namespace leadwright
