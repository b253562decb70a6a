// SPDX-License-Identifier: Apache-2.0
// What a policy's table `triage` may say after a rehearsal: how many batteries that came in alike each test
// would truly fail, and how long works took. Pure; any thread. Read next: daemon/grading/triage_rule.h.
#pragma once

#include <string>
#include <vector>

#include "tools/returns/rehearsal.h"

namespace leadwright {

/// As lines of TOML, to be put into the policy. `share_least`: of the rating, which the minutes must reach.
std::string triage_figures(const std::vector<RehearsedReturn>& all, double share_least);

}  // namespace leadwright
