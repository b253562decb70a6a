// SPDX-License-Identifier: Apache-2.0
// The three-minute charge of a discharged flooded battery that failed its load test: the highest voltage at
// 40 A tells sulphation. Pure; any thread. Shared domain notes, section 4.
#pragma once

#include "daemon/battery/findings.h"

namespace leadwright {

/// F: below it the battery is worth charging; at or above it is sulphated or has a bad joint inside.
constexpr Volt three_minute_cell_max{15.5 / 6.0};

/// Findings charge_peak and charge_margin (positive: worth charging) from `of` = a rest and the charge. A
/// charger that gave less than 38 A makes it an estimate, V0 + (V - V0) 40 A / I, which reads high; above the
/// most that is sound it is the voltage itself. Fails with unsupported for a battery that is not flooded, and
/// without a reading.
Result<Findings> state_three_minute_charge(const FindingRequest& request);

}  // namespace leadwright
