// SPDX-License-Identifier: Apache-2.0
// A verdict on a discharge that was stopped before its end. Private to this folder; pure.
#pragma once

#include <optional>

#include "daemon/grading/conclusion.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// What it lasted at least may conform, by measurement; what it was forecast to give may fail, where the
/// policy allows it, and never conform. Otherwise U. Missing if none was stopped or there is no rating. The
/// reason lacks its full stop.
std::optional<Conclusion> by_bounds(const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
