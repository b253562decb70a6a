// SPDX-License-Identifier: Apache-2.0
// leadwright design learn: the as-new curve of a design from the bench's own sound batteries.
#pragma once

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

/// Prints the curve's file, or writes it. One battery counts once, tickets that may not teach are named on
/// standard error. negative if too few are left, bad_data if they are of more than one design.
ExitCode design_learn(const ClientOptions& client, const DesignLearnOptions& options);

}  // namespace leadwright
