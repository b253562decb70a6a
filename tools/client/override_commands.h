// SPDX-License-Identifier: Apache-2.0
// leadwright ticket override, override-confirm, override-withdraw. Each blocks and gives the exit code.
#pragma once

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

ExitCode ticket_override(const ClientOptions& client, const OverrideOptions& options);
ExitCode ticket_override_confirm(const ClientOptions& client, const OverrideOptions& options);
ExitCode ticket_override_withdraw(const ClientOptions& client, const OverrideOptions& options);

}  // namespace leadwright
