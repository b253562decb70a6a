// SPDX-License-Identifier: Apache-2.0
// What a person should look at before acting on a letter: contradictions in the label, the receipt and the
// story. A flag never changes a letter. Pure; any thread.
#pragma once

#include <vector>

#include "daemon/battery/said.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// One sentence each: receipt used twice, sold before made or after it came in, label ratings that contradict
/// each other or their standard, resistance far off the nameplate, no longer new, emptier
/// than standing explains, acid that freezes early, a vehicle's monitor that tells another story; and what
/// the findings together point to (signs.h). Last its age beside the usual one (age_flags.h).
std::vector<Sentence> flags_of(const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
