// SPDX-License-Identifier: Apache-2.0
// What a policy's early decisions mean for the run that starts: the values of a procedure's parameters
// "enough" and "too_few". Pure; any thread. Read next: daemon/grading/early.h.
#pragma once

#include <optional>

#include "daemon/battery/findings.h"
#include "daemon/grading/policy.h"
#include "daemon/place/label_values.h"

namespace leadwright {

/// Adds them to `chosen` unless a person chose, if the procedure has such parameters, the policy allows the
/// decision and the label states a reserve capacity. `battery` is its temperature now; without one the
/// reference temperature stands in, and the thermometer's doubt with it.
void add_early_parameters(const Procedure& procedure, const Policy& policy, const Nameplate& nameplate,
                          const EstimatorSettings& settings, std::optional<Celsius> battery, Choices& chosen);

}  // namespace leadwright
