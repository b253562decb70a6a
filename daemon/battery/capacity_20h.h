// SPDX-License-Identifier: Apache-2.0
// 20-hour capacity: ampere-hours at I20 to 1.75 V a cell, as measured and at 25 degC. Pure; any thread.
// Shared domain notes, section 2; marks in capacity_20h.cpp.
#pragma once

#include "daemon/battery/findings.h"

namespace leadwright {

/// C x (1 - 0.01 (T - 25)): starter batteries (M: EN/IEC).
Coulomb at_25_degc_multiplied(Coulomb capacity, Celsius battery);
/// C / (1 + 0.01 (T - 25)): the form of stationary practice (M).
Coulomb at_25_degc_divided(Coulomb capacity, Celsius battery);

/// Findings capacity_20h, capacity_20h_ref (if the temperature was measured, by the first form, with the
/// second named) and temperature, from `of` = one draw at constant current to 1.75 V a cell. The conditions
/// say which share of the label's capacity the current was. Fails as discharge_of does.
Result<Findings> state_capacity_20h(const FindingRequest& request);

}  // namespace leadwright
