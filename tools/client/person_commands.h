// SPDX-License-Identifier: Apache-2.0
// leadwright person ...: whose names the bench has, and erasing one.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

struct PersonOptions {
  std::string person;  ///< code
  std::string why;
};

ExitCode person_list(const ClientOptions& client);
ExitCode person_erase(const ClientOptions& client, const PersonOptions& options);

}  // namespace leadwright
