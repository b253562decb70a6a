// SPDX-License-Identifier: Apache-2.0
// What the policy makes of a meter that is past its last day of calibration. Pure; any thread.
#pragma once

#include <string>
#include <vector>

#include "daemon/battery/ticket.h"
#include "daemon/grading/policy.h"
#include "daemon/procedure/procedure.h"
#include "protocol/result.h"

namespace leadwright {

/// How many times the limits of error count: 1 while no instrument of the run is overdue.
double meters_widened_by(const std::vector<UsedInstrument>& instruments, const CalibrationRule& rule);

/// Fails with refused, naming the first overdue instrument, where the policy refuses it and the procedure
/// draws: its findings would be of no use, and the battery would be emptied for nothing. Charges and rests go
/// on.
Result<void> calibration_allows(const std::vector<UsedInstrument>& instruments, const Procedure& wanted,
                                const CalibrationRule& rule, const std::string& place);

}  // namespace leadwright
