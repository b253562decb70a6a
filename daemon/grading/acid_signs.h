// SPDX-License-Identifier: Apache-2.0
// What a hydrometer's readings point to: a weak cell, cells that differ, acid in layers, a voltage that does
// not belong to its acid. Signs as of signs.h: they never change a letter. Pure; any thread. Thresholds with
// their marks: acid_signs.cpp.
#pragma once

#include <optional>
#include <vector>

#include "daemon/grading/signs.h"

namespace leadwright {

/// By the newest look; each kind at most once.
std::vector<Sign> acid_signs(const Evidence& evidence, const Policy& policy);

/// Acid in layers without a hydrometer: it rested as if nearly full, and the charge that followed at once put
/// in far more than that leaves missing.
std::optional<Sign> layers_by_charge(const Evidence& evidence);

}  // namespace leadwright
