// SPDX-License-Identifier: Apache-2.0
// A grade while it is being made: each part of the policy may lower it, explain it or withdraw it. Private to
// this folder.
#pragma once

#include <string>
#include <vector>

#include "daemon/battery/ticket.h"

namespace leadwright {

struct Conclusion {
  char letter = 'U';
  std::string reason;
  std::vector<GradeRule> rules = {};
  std::string situation = {};  ///< key of Policy::situations, if one applies
  std::string next_procedure = {};
  std::string next_why = {};
};

}  // namespace leadwright
