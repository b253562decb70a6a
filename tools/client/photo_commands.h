// SPDX-License-Identifier: Apache-2.0
// leadwright ticket photo, photo save, photo erase. Each blocks and gives the exit code.
#pragma once

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

ExitCode ticket_photo(const ClientOptions& client, const PhotoOptions& options);
ExitCode photo_save(const ClientOptions& client, const PhotoOptions& options);
ExitCode photo_erase(const ClientOptions& client, const PhotoOptions& options);

}  // namespace leadwright
