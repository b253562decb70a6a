// SPDX-License-Identifier: Apache-2.0
// Reasons not to believe a test that was made: too warm, too cold, discharged, too young, flat for too long.
// Private to this folder; pure.
#pragma once

#include "daemon/grading/conclusion.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// Turns `conclusion` into U where the policy does not allow to judge by this test, with the reason, the
/// situation and what to do first. A temperature outside the limits withdraws every letter; the others only
/// what speaks against the battery, since they can only have lowered the result: below A for a discharged
/// one, D for the rest. Discharged is what rested below the policy's least state of charge; and before a test
/// of capacity whatever the runs do not show to have been full.
void withdraw_unless_fair(Conclusion& conclusion, const Evidence& evidence, const Policy& policy,
                          const Finding& test);

/// Whether D by this test would stand.
bool may_fail_by(const Finding& test, const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
