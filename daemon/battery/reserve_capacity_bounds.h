// SPDX-License-Identifier: Apache-2.0
// What a discharge at 25 A says of the reserve capacity when it was stopped before its cut-off: it lasted at
// least so long, by measurement; it would have ended about then, by forecast. The two are findings of their
// own and are never called the reserve capacity. Pure; any thread. Read next: daemon/grading/early.h.
#pragma once

#include "daemon/battery/findings.h"

namespace leadwright {

/// Of one draw. If it reached its cut-off: as reserve_capacity. Else findings reserve_capacity_at_least and
/// reserve_capacity_ref_at_least ("at least 96 min, stopped there"), with the meters' and the temperature's
/// budget; and reserve_capacity_ref_forecast if the request has the curve of the design and the forecast may
/// decide (end_at_most), whose u is what an early decision's margin means: value + 1.645 u is end_at_most.
Result<Findings> state_reserve_capacity_bounds(const FindingRequest& request);

}  // namespace leadwright
