// SPDX-License-Identifier: Apache-2.0
// leadwright export: everything that the bench knows, into files for other programs. Reads the daemon's
// database beside it, on its own machine. Blocks.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

struct ExportOptions {
  std::string folder;  ///< made if it is not there; files in it are replaced
  std::string format = "csv";
  bool without_samples = false;
};

/// One run's samples in memory at a time. Fails with cannot_create, io, or as the database does.
ExitCode export_all(const ClientOptions& client, const ExportOptions& options);

}  // namespace leadwright
