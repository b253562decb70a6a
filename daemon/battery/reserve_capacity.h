// SPDX-License-Identifier: Apache-2.0
// Reserve capacity: minutes at 25 A to 1.75 V a cell, as measured and at the rating's reference temperature,
// with a GUM budget. Pure; any thread. Marks: shared domain notes, sections 1, 2 and 10.
#pragma once

#include <vector>

#include "daemon/battery/findings.h"

namespace leadwright {

/// F: SAE, EN/IEC, JIS and GB agree on current and voltage.
constexpr Ampere reserve_capacity_current{25.0};
constexpr Volt reserve_capacity_cell_cutoff{1.75};

/// Charge that this reserve capacity means, 25 A x time: 120 min is 50 Ah. Not the 20-hour capacity.
Coulomb charge_at_25_a(Second reserve_capacity);

/// C20 = sqrt(17778 + 208.3 RC) - 133.3 in Ah and min, and its inverse (M: IEC/EN; formula from memory).
Coulomb c20_from_reserve_capacity(Second reserve_capacity);
Second reserve_capacity_from_c20(Coulomb c20);

/// What the minutes were measured with.
struct MeasuredMinutes {
  Second minutes;
  Ampere current;  ///< mean at full current
  Ampere u_current;
  Volt u_end_voltage;
  VoltPerSecond slope;  ///< at the end
  Second u_time;        ///< start, crossing and clock together
};

struct AtReference {
  Celsius battery;  ///< initial temperature of the draw
  Kelvin u_battery;
  Celsius reference;
};

/// RC_ref = t (I/25 A)^k (1 - a (T - T_ref)) (form and a: M).
Second at_reference(const MeasuredMinutes& measured, const AtReference& at,
                    const EstimatorSettings& settings);

/// Budget of the measured minutes, in minutes: current, end voltage, time.
std::vector<BudgetLine> budget_of(const MeasuredMinutes& measured, const EstimatorSettings& settings);

/// Budget of RC_ref, in minutes: the above scaled to it, and temperature, coefficient, rate exponent and the
/// battery's own run-to-run repeatability.
std::vector<BudgetLine> budget_of(const MeasuredMinutes& measured, const AtReference& at,
                                  const EstimatorSettings& settings);

/// Findings reserve_capacity (u: meters and timing only), reserve_capacity_ref (if the temperature was
/// measured), delivered and temperature, from one draw.
Result<Findings> state_reserve_capacity(const FindingRequest& request);

}  // namespace leadwright
