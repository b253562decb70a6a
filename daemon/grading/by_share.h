// SPDX-License-Identifier: Apache-2.0
// The letter by shares of the rating, with guard bands. Private to this folder; pure.
#pragma once

#include "daemon/grading/conclusion.h"
#include "daemon/grading/criterion.h"
#include "daemon/grading/decision.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// Whether the value conforms to that share of the rating.
struct ShareRuling {
  Conformance outcome = Conformance::undecided;
  GradeRule rule;
};
ShareRuling share_ruling(const Comparison& found, const Sentence& name, double share, double guard_factor);

/// "86.0 min of reserve capacity (+- 4.0 min, k = 2)", "at least 86 min of reserve capacity, where it was
/// stopped"
Sentence amount_said(const Comparison& found);

/// A, B, C: the highest letter whose limit the value conforms to. D: only if it does not conform to C's
/// limit. Otherwise C's limit is undecided: U, with what would settle it. The reason lacks its full stop.
Conclusion by_share(const Comparison& found, const Policy& policy);

}  // namespace leadwright
