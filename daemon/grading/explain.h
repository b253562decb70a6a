// SPDX-License-Identifier: Apache-2.0
// A grade explained from what was measured to what is done, as a person reads it: Markdown, in the order in
// which it was decided. Pure; any thread.
#pragma once

#include <string>

#include "daemon/battery/ticket.h"
#include "daemon/grading/evidence.h"

namespace leadwright {

/// Label and story, findings with their expanded uncertainty, the budget of the finding that decided, each
/// rule with its numbers, the letter, and what follows from it. Nothing that is missing is shown as a number.
std::string explained(const Evidence& evidence, const Grade& grade);

}  // namespace leadwright
