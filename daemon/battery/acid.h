// SPDX-License-Identifier: Apache-2.0
// What a hydrometer's readings say: strength of the acid, its spread between the cells, the state of charge,
// and whether the resting voltage fits it. Pure; any thread. Marks of the numbers: acid.cpp, ocv.h.
#pragma once

#include <optional>
#include <vector>

#include "daemon/battery/acid_settings.h"
#include "daemon/battery/nameplate.h"
#include "daemon/battery/ocv.h"
#include "daemon/battery/ticket.h"

namespace leadwright {

/// Fails with refused unless a battery of this label has cells that can be opened (flooded, EFB), and so many
/// of them.
Result<void> fits_label(const AcidReading& reading, const Nameplate& nameplate);

/// The acid of that density, as moles of acid per kilogram of water; held to 0.5..6.8 mol/kg.
Molality molality_of(SpecificGravity gravity);

/// One cell's voltage at rest at 25 degC after Bode, for acid of this strength at 80 degF.
Volt bode_cell_volts(SpecificGravity gravity);

/// The gravities at 80 degF, mean and, of two cells or more, spread; of three or more how far the lowest lies
/// below the median of the others; and the state of charge by the mean. run is none, ticket is left for the
/// caller. Empty if no cell was read.
std::vector<Finding> findings_of(const AcidReading& reading, const AcidSettings& settings);

/// A rested open-circuit voltage less what the acid of all its cells gives. Missing unless each cell was
/// read. ticket, run and at are those of `ocv`.
std::optional<Finding> ocv_above_acid(const AcidReading& reading, const Finding& ocv, int cells,
                                      const AcidSettings& settings);

/// The cell with the lowest gravity, counted from 1 at the positive post; missing if none was read.
std::optional<int> lowest_cell(const AcidReading& reading);

}  // namespace leadwright
