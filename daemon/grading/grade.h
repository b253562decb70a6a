// SPDX-License-Identifier: Apache-2.0
// From findings to a grade by a policy, with guard bands. Pure and versioned: the same evidence and policy
// always give the same grade. Any thread. Read next: evidence.h, policy.h, decision.h.
#pragma once

#include <optional>

#include "daemon/battery/ticket.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// The rule, in this order:
/// 1. A fault or an unsafe inspection is F; a label without a lead chemistry is U.
/// 2. The first of the policy's criteria for which there is a test and a rating: the highest of A, B, C whose
///    limit (share x rating) the mean of the tests conforms to with the guard band; D only if it does not
///    conform to C's limit; U if C's limit is undecided. Without such a test the load test at half the CCA
///    alone, where the policy says so: B, D, U; no B where the policy requires minutes that could be
///    compared.
/// 3. A load test at cranking current that does not conform makes D of any letter, and of C's limit
///    undecided. Where the policy asks for one, an undecided one makes U of A, B and C, and without one there
///    is no A or B. One that was extrapolated from a smaller draw counts for neither; one that failed before
///    a conditioning cycle counts no longer.
/// 4. The test that the letter rests on is withdrawn (U) where it was too warm or too cold, or where what
///    speaks against the battery may come from its state: discharged, too young, deeply discharged and not
///    conditioned. A load test may begin at the policy's least state of charge, a capacity test only with a
///    full battery (full_charge.h).
/// 5. A letter that keeps the battery in service is D where it surely falls too fast on its shelf, U where
///    that is undecided or was worth watching and nobody did (keeps_charge.h).
/// Whatever is not decided names the cheapest procedure that would decide it. ticket, software and at are the
/// caller's.
Grade grade(const Evidence& evidence, const Policy& policy);

/// Whether the letter is D by a load test that may be judged by, so that a capacity test, whatever it gives,
/// changes no letter.
bool stands_by_load(const Evidence& evidence, const Policy& policy);

/// Whether a load test that counts and was drawn in full lies within its guard band, so that another one may
/// decide.
bool is_undecided_by_load(const Evidence& evidence, const Policy& policy);

/// When the battery, which its tests keep in service, is to be looked at again on its shelf, to see whether
/// it keeps its charge; missing where that is known or not worth it (keeps_charge.h).
std::optional<Utc> stands_until(const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
