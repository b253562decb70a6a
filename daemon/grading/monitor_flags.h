// SPDX-License-Identifier: Apache-2.0
// Where the vehicle's monitor and the bench, or the label and the receipt, tell different stories. Pure; any
// thread. Thresholds with their marks: monitor_flags.cpp.
#pragma once

#include <vector>

#include "daemon/battery/said.h"
#include "daemon/grading/evidence.h"

namespace leadwright {

/// One sentence each: charge and temperature far from what was measured first, days that belong to another
/// battery, a change that it was told of and did not take. Never part of a letter.
std::vector<Sentence> monitor_flags(const Evidence& evidence);

}  // namespace leadwright
