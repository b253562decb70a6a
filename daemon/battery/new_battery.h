// SPDX-License-Identifier: Apache-2.0
// A new battery before it goes into a vehicle: how full it is, and what it needs first. Pure; any thread.
#pragma once

#include <optional>

#include "daemon/battery/findings.h"

namespace leadwright {

/// Ampere-hours to put in for each that is missing: 1.10 flooded and EFB (F: 1.05 to 1.15), 1.04 AGM and gel
/// (M: 1.03 to 1.05). A pure number.
double charge_factor(Chemistry chemistry);

/// Finding charge_needed: what is missing to full at this finding soc, times the charge factor. Missing if
/// the label states neither a capacity nor a reserve capacity.
std::optional<Finding> charge_needed(const Finding& soc, const Nameplate& nameplate);

/// Finding ocv from `of` = one rest; if the battery was at rest also soc, and charge_needed if the label
/// states a capacity (or a reserve capacity, from which it follows with a wider interval). Nothing is
/// guessed: what is not known is not stated.
Result<Findings> state_new_battery(const FindingRequest& request);

}  // namespace leadwright
