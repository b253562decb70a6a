// SPDX-License-Identifier: Apache-2.0
// Runs the simulated bench hand against a daemon and a benchsim until every ticket has its grade.
#pragma once

#include <functional>
#include <string>

#include "protocol/result.h"

namespace leadwright {

struct RunHandOptions {
  std::string state;
  std::string scenario;
  std::string url;
  int timeout_s = 3600;  ///< wall time
  bool json = false;     ///< the final queue as JSON
};

struct HandOutcome {
  bool all_graded = false;
  std::string text;  ///< the final queue, for the standard output
};

/// Fails where the scenario is wrong (its first mistake; the others are said), or where daemon or benchsim
/// stop answering. A time-out is an outcome, not a failure.
Result<HandOutcome> run_hand(const RunHandOptions& options,
                             const std::function<void(const std::string&)>& say);

}  // namespace leadwright
