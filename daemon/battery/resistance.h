// SPDX-License-Identifier: Apache-2.0
// DC internal resistance from two levels of current. Pure; any thread.
#pragma once

#include "daemon/battery/findings.h"

namespace leadwright {

struct CurrentLevel {
  Volt volts;
  Ampere amps;
};

struct TwoLevelResistance {
  Ohm resistance;
  Volt no_load;          ///< extrapolated to no current
  Ampere short_circuit;  ///< extrapolated to no voltage
};

/// R = (U1 - U2)/(I2 - I1), the two-level principle of EN 61951 and EN 61960 (F). Fails with unsupported if
/// the levels lie less than 1 A apart or the voltage does not fall.
Result<TwoLevelResistance> two_level_resistance(const CurrentLevel& low, const CurrentLevel& high);

/// u_R^2 = 2 u_U^2/dI^2 + 2 (R u_I/dI)^2: readings independent, so a common offset is not in u_volts.
Ohm u_of(const TwoLevelResistance& result, Ampere step, Volt u_volts, Ampere u_amps);

/// The finding from the last 10 s of two draws, smaller one first or last. Charge and heat move the battery
/// between the two, which the method can't tell from resistance: it is a plausibility figure.
Result<Findings> state_resistance(const FindingRequest& request);

}  // namespace leadwright
