// SPDX-License-Identifier: Apache-2.0
// From findings to a grade by a policy, with guard bands. Pure and versioned: the same evidence and policy
// always give the same grade. Any thread. Read next: policy.h, decision.h.
#pragma once

#include <string>
#include <vector>

#include "daemon/battery/ticket.h"
#include "daemon/grading/policy.h"

namespace leadwright {

struct Evidence {
  Nameplate nameplate;
  Inspection inspection;
  std::vector<Finding> findings;  ///< of complete runs of this ticket only
  std::vector<Fault> faults;
};

/// The rule, in this order: a fault or an unsafe inspection is F. Without a reserve capacity at reference
/// temperature, or without a rating to compare it with (C20 counts, with 10 % more uncertainty), U. Else the
/// highest of A, B, C whose limit (share x rating) the newest value conforms to with the guard band; D only
/// if it does not conform to C's limit; U if C's limit is undecided, or if the battery was below
/// `soc_min_to_test` before the test and did not reach A. ticket, software and at are the caller's.
Grade grade(const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
