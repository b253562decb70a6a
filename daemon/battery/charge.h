// SPDX-License-Identifier: Apache-2.0
// What a charge gave back to the battery. Pure; any thread.
#pragma once

#include "daemon/battery/findings.h"

namespace leadwright {

/// A charge step that ended by this condition took no charge: the finding comes with that fault.
inline constexpr const char* takes_no_charge_end = "takes no charge";

/// The finding `returned` from the charge steps named; gain and offset of the meter fully correlated over all
/// of them.
Result<Findings> state_returned_charge(const FindingRequest& request);

}  // namespace leadwright
