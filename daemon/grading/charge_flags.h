// SPDX-License-Identifier: Apache-2.0
// What its charges tell beside the letter: whether what a test took was put back, and what a conditioning
// cycle has gained. Pointed out, never a rule. Pure; any thread. Thresholds with their marks:
// charge_flags.cpp.
#pragma once

#include <optional>
#include <vector>

#include "daemon/battery/said.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// The ampere-hours of the charge after a complete discharge over those that it gave, if nothing else moved
/// in between and it began full; missing else. `u` is standard uncertainty; both are pure numbers.
struct ChargeFactor {
  double value = 0.0;
  double u = 0.0;
};
std::optional<ChargeFactor> charge_factor_of(const Evidence& evidence, const Policy& policy);

/// Minutes after the last conditioning cycle less those before it; missing unless both were measured.
struct RecoveryGain {
  double before_min = 0.0;
  double after_min = 0.0;
  double u_min = 0.0;  ///< standard uncertainty of the difference
};
std::optional<RecoveryGain> recovery_gain_of(const Evidence& evidence, const Policy& policy);

/// A factor outside of what is usual, and a gain.
std::vector<Sentence> charge_flags(const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
