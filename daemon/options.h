// SPDX-License-Identifier: Apache-2.0
// The command line of leadwrightd. options.cpp is the only file of the daemon that sees the outside parser.
#pragma once

#include <optional>
#include <string>

#include "daemon/settings/exit_codes.h"

namespace leadwright {

struct DaemonOptions {
  std::string config;  ///< empty: the installed configuration
  std::string state;   ///< empty: see settings/state_directory.h
  bool check_config = false;
};

/// The options, or nothing with the exit code set when help, version or an error was printed.
std::optional<DaemonOptions> read_options(int argc, const char* const* argv, ExitCode& code);

}  // namespace leadwright
