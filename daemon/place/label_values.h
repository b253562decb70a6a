// SPDX-License-Identifier: Apache-2.0
// What an expression may know of a battery before a run: its nameplate, and what follows from it.
#pragma once

#include <optional>
#include <vector>

#include "daemon/battery/ticket.h"
#include "daemon/procedure/values.h"

namespace leadwright {

/// C20 if stated, else 25 A times RC, else 40 Ah (common practice, no source): for currents and lengths of
/// charge, never for a grade.
Coulomb assumed_capacity(const Nameplate& nameplate);

/// Names from the nameplate, `capacity`, and (for lead with 3 or 6 cells) `charge_volts` at the case
/// temperature, 25 degC if that is missing.
Values label_values(const Nameplate& nameplate, std::optional<Celsius> case_temperature);

/// ocv_found, soc_found, resistance_found and reserve_capacity_found: the newest of each, missing if there is
/// none.
void set_found(const std::vector<Finding>& found, Values& values);

}  // namespace leadwright
