// SPDX-License-Identifier: Apache-2.0
// What the owner of a battery must have agreed to before a run, and who says so. Pure; any thread.
#pragma once

#include <string>

#include "daemon/grading/policy.h"
#include "daemon/procedure/procedure.h"
#include "daemon/queue/ledger.h"

namespace leadwright {

/// In words, empty if nothing: what the procedure declares; a complete discharge under a policy that leaves
/// it to the owner. A new battery (one whose ticket asked for the new-battery confirmation, or had it) is not
/// drawn on without its owner's word, whatever the procedure.
std::string consent_needed(const TicketFile& file, const Procedure& wanted, const Policy& policy);

/// The name without blanks around it, empty if consent is not needed and nobody is named. Fails with conflict
/// if a needed consent has no name, with bad_input if a name is given where nothing is to be agreed to, or is
/// no clean text of at most 200 bytes.
Result<std::string> consent_given(const std::string& needed, const std::string& by, const TicketFile& file,
                                  const Procedure& wanted);

}  // namespace leadwright
