// SPDX-License-Identifier: Apache-2.0
// Its age beside the years that starter batteries usually last. Told, never a reason for a letter. Pure; any
// thread.
#pragma once

#include <optional>

#include "daemon/battery/said.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// One sentence; counted from its date code, else from its sale. Missing where neither is known, lies in the
/// future, or the policy names no usual life.
std::optional<Sentence> usual_life_said(const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
