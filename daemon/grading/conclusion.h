// SPDX-License-Identifier: Apache-2.0
// A grade while it is being made: each part of the policy may lower it, explain it or withdraw it. Private to
// this folder.
#pragma once

#include <string>
#include <vector>

#include "daemon/battery/said.h"
#include "daemon/battery/ticket.h"

namespace leadwright {

struct Conclusion {
  char letter = 'U';
  Sentence reason = {};
  std::vector<GradeRule> rules = {};
  std::string situation = {};  ///< key of Policy::situations, if one applies
  std::string next_procedure = {};
  Sentence next_why = {};
};

}  // namespace leadwright
