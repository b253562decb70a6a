// SPDX-License-Identifier: Apache-2.0
// `leadwright rehearse`: the whole daemon in this process on virtual time. Needs no daemon.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

struct RehearseTraceOptions {
  std::vector<std::string> files;
  std::string config;  ///< folder with profiles, procedures and policies; empty: the program's own
  std::string wire;
  std::string log;
  std::uint64_t seed = 1;
  bool realistic = false;
};

/// Prints a line a file, or a JSON array; errors go to stderr.
ExitCode rehearse_trace(const ClientOptions& client, const RehearseTraceOptions& options);

}  // namespace leadwright
