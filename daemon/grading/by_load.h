// SPDX-License-Identifier: Apache-2.0
// The load test at half the CCA as a rule. Private to this folder; pure.
#pragma once

#include <optional>

#include "daemon/grading/conclusion.h"
#include "daemon/grading/decision.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// The rule of the newest load test that was drawn at its full current and could be judged; missing if there
/// is none. One that failed before a conditioning cycle counts no longer: the cycle makes another battery of
/// it.
struct LoadRuling {
  const Finding* margin = nullptr;
  Conformance outcome = Conformance::undecided;
  GradeRule rule;
  bool needs_cca = false;  ///< undecided only because its label does not state it: a smaller load was passed
};
std::optional<LoadRuling> load_ruling(const Evidence& evidence, const Policy& policy);

bool fails(const std::optional<LoadRuling>& load);

/// A verdict by the load test alone; `without` says in a clause why there are no minutes.
Conclusion by_load_alone(const LoadRuling& load, const Sentence& without, const Policy& policy);

/// Makes undecided of a load test that passed alone, and says that minutes are missing.
void ask_for_minutes(Conclusion& conclusion, const Policy& policy);

/// Lowers a verdict by minutes, or one that they leave undecided, where the load test does not conform, and
/// takes it back where that is undecided; caps it where none was made and the policy asks for one. Ends its
/// reason with what was seen at cranking load.
void apply_load(Conclusion& conclusion, const std::optional<LoadRuling>& load, const Policy& policy);

}  // namespace leadwright
