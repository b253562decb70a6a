// SPDX-License-Identifier: Apache-2.0
// How long a charge took until its current was stable, by the rules that end the shipped charges. Pure; any
// thread. Rules with their marks: time_to_full.cpp.
#pragma once

#include <optional>
#include <span>

#include "daemon/battery/nameplate.h"
#include "daemon/battery/sample.h"
#include "daemon/battery/ticket.h"

namespace leadwright {

/// End conditions of a charge step after which it counts as full.
inline constexpr const char* stable_current_end = "charge current is stable";
inline constexpr const char* small_current_end = "charge current is small";

/// From the start of the step until one of the rules held, and went on holding. Missing for a charge that
/// another condition ended, that was interrupted, or that never came near its last voltage. ticket, run and
/// at are left for the caller.
std::optional<Finding> time_to_full(const Trace::StepSpan& charge, std::span<const Sample> samples,
                                    const Nameplate& nameplate);

}  // namespace leadwright
