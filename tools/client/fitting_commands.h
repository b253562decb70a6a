// SPDX-License-Identifier: Apache-2.0
// leadwright fitting check: may this new battery be fitted, and did the vehicle take it? Blocks; changes
// nothing.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "protocol/result.h"
#include "tools/client/options.h"

namespace leadwright {

/// The body of POST /api/v1/fitting that these options ask for, over what `part`, a JSON object, says of the
/// label. Fails with bad_input for an amount that can't be read, and for a file together with other options;
/// not_found for a file that can't be opened.
Result<std::string> fitting_body(const FittingOptions& options, const std::string& part = "{}");

/// ok if it may be fitted, negative for every other verdict.
ExitCode fitting_check(const ClientOptions& client, const FittingOptions& options);

/// The answer as people read it; as it came if it can't be read.
std::string show_fitting(const std::string& body);

}  // namespace leadwright
