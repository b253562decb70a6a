// SPDX-License-Identifier: Apache-2.0
// What a battery is measured against: the first of the policy's criteria that its label and its findings
// allow. Ratings of different standards are never mixed: each is compared with what was measured the same
// way. Pure; any thread.
#pragma once

#include <optional>

#include "daemon/battery/said.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"
#include "daemon/grading/rules.h"

namespace leadwright {

/// A test and the rating it is compared with, in one unit.
struct Comparison {
  TestResult test;
  double rated = 0.0;
  double u_rated = 0.0;   ///< standard uncertainty of a rating that was derived
  bool at_least = false;  ///< the test was stopped: it may conform, and never fail
  RuleUnit unit{"min", 1};
  Sentence rated_said;  ///< "the rated 110 min"
};

/// The first criterion for which there is both a test and a rating. half_cca_load is none: it has a limit of
/// its own.
std::optional<Comparison> comparison_of(const Evidence& evidence, const Policy& policy);

/// The same of the minutes that a discharge lasted at least, before it was stopped.
std::optional<Comparison> comparison_of_stopped(const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
