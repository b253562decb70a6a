// SPDX-License-Identifier: Apache-2.0
// Charge retention: how the voltage falls over days at rest, and the self-discharge that this means. Pure;
// any thread. Shared domain notes, section 8.
#pragma once

#include "daemon/battery/findings.h"

namespace leadwright {

/// Findings rest_slope and self_discharge from `of` = one rest of at least 24 h; of a longer one the first
/// 24 h are left out (surface charge). Each voltage is referred to 25 degC where a temperature was measured.
/// Fails with unsupported if less than 12 h with readings are left.
Result<Findings> state_retention(const FindingRequest& request);

}  // namespace leadwright
