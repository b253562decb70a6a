// SPDX-License-Identifier: Apache-2.0
// History under another policy: what each graded ticket would be today. Pure; changes nothing.
#pragma once

#include <vector>

#include "daemon/grading/policy.h"
#include "daemon/queue/ledger.h"

namespace leadwright {

struct Regraded {
  const TicketFile* file = nullptr;  ///< has a grade; owned by the ledger
  Grade now;                         ///< judged at the moment of the stored one
  /// Another letter, or something else to do.
  bool changes() const;
};

/// A ticket that has a grade, judged again by this evidence, at the moment of the stored grade.
Grade judged_again(const TicketFile& file, const Evidence& evidence, const Policy& policy);

/// Every ticket that has a grade, in order of number, from the evidence that is stored now.
std::vector<Regraded> regraded(const Ledger& ledger, const Policy& policy);

}  // namespace leadwright
