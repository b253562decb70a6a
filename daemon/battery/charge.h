// SPDX-License-Identifier: Apache-2.0
// What charges gave to the battery and draws took out of it. Pure; any thread.
#pragma once

#include "daemon/battery/findings.h"

namespace leadwright {

/// End conditions of a charge step that prove a fault; the finding then comes with it.
inline constexpr const char* takes_no_charge_end = "takes no charge";
inline constexpr const char* stays_low_end = "one cell's voltage is missing";

/// The finding `returned` from the charge steps named; gain and offset of the meter fully correlated over all
/// of them. Of a single one that ended full also `time_to_full` (time_to_full.h).
Result<Findings> state_returned_charge(const FindingRequest& request);

/// The finding `accepted` from the first stage of a recovery: how much a battery takes that was discharged
/// deeply. Little in a long time is no verdict: some come up only when they are cycled.
Result<Findings> state_charge_acceptance(const FindingRequest& request);

/// The finding `delivered` from the draws named.
Result<Findings> state_delivered_charge(const FindingRequest& request);

}  // namespace leadwright
