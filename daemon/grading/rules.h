// SPDX-License-Identifier: Apache-2.0
// One rule of a grade, with its numbers and its sentence. Pure; any thread.
#pragma once

#include <string>

#include "daemon/battery/said.h"
#include "daemon/battery/ticket.h"
#include "daemon/grading/decision.h"

namespace leadwright {

/// How the amounts of a rule are written.
struct RuleUnit {
  std::string unit;  ///< "min"
  int decimals = 1;  ///< of value and limit; uncertainties have one more
};

/// "limit of B: 80.0 min; value 86.0 min, u 2.00 min, guard band 4.00 min; conformance probability 0.9987:
/// conforms"
GradeRule limit_rule(const Sentence& name, const RuleUnit& unit, const Measured& measured, double limit,
                     const Decision& decision);

/// A rule without numbers: its sentence, and what followed.
GradeRule plain_rule(std::string name, const Sentence& sentence, std::string outcome);

}  // namespace leadwright
