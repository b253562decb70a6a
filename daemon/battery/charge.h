// SPDX-License-Identifier: Apache-2.0
// What a charge gave back to the battery. Pure; any thread.
#pragma once

#include "daemon/battery/findings.h"

namespace leadwright {

/// End conditions of a charge step that prove a fault; the finding then comes with it.
inline constexpr const char* takes_no_charge_end = "takes no charge";
inline constexpr const char* stays_low_end = "one cell's voltage is missing";

/// The finding `returned` from the charge steps named; gain and offset of the meter fully correlated over all
/// of them.
Result<Findings> state_returned_charge(const FindingRequest& request);

}  // namespace leadwright
