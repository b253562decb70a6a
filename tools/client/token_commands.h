// SPDX-License-Identifier: Apache-2.0
// leadwright token ...: who may ask a bench that asks for tokens. Works on the state folder, on the daemon's
// own machine, and needs no daemon.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

struct TokenOptions {
  std::string name;
  std::string rank;  ///< viewer, operator or supervisor
};

/// Prints the new token, which is told this once.
ExitCode token_add(const ClientOptions& client, const TokenOptions& options);
ExitCode token_list(const ClientOptions& client, const TokenOptions& options);
ExitCode token_revoke(const ClientOptions& client, const TokenOptions& options);

}  // namespace leadwright
