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

/// A conclusion is reached, or a reason why not yet: `letter` U with the reason. ticket and at are the caller's.
Grade grade(const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
