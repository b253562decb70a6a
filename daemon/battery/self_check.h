// SPDX-License-Identifier: Apache-2.0
// What a place's instruments say of a battery that is known to be good: the ammeter's zero, and one voltmeter
// against the other. Pure; any thread.
#pragma once

#include "daemon/battery/findings.h"

namespace leadwright {

/// Finding amps_zero from the rest, and meters_apart if a second step is named: `of` = a rest read by the
/// load, and a charge of some ten milliamperes to amperes right after it, read by the charger. What the
/// current lifts the voltage by is in the uncertainty, not taken off. Fails with unsupported where a reading
/// is missing.
Result<Findings> state_self_check(const FindingRequest& request);

}  // namespace leadwright
