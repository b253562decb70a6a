// SPDX-License-Identifier: Apache-2.0
// Whether a battery has lost water: what shows it by itself (plates above the acid, its weight, its acid, a
// rest above a full one's), together with a raised resistance or too few minutes. A sign as of signs.h. Pure;
// any thread. Thresholds with their marks: dry_out_sign.cpp.
#pragma once

#include <optional>

#include "daemon/grading/signs.h"

namespace leadwright {

/// Resistance times cranking current of a battery that is full, where that is raised; missing else.
std::optional<Sign> dry_out_sign(const Evidence& evidence, const Policy& policy,
                                 std::optional<Volt> raised_product);

}  // namespace leadwright
