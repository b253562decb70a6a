// SPDX-License-Identifier: Apache-2.0
// What can only be checked when all files of a configuration have been read. Private to this folder.
#pragma once

#include <string>
#include <vector>

#include "daemon/settings/settings.h"

namespace leadwright {

/// Where each value that names a file was written: file:line:column, or the file for a built-in default.
struct Origins {
  std::string policy_file;
  std::string estimator_file;
  std::string procedures_folder;
  std::string profiles_folder;
  std::string bench_time;
  std::string parts_file;
};

/// Turns the profiles' names into paths, and adds an error for each file or folder that does not exist, each
/// link that two instruments share, and a bench without places.
void check_settings(Settings& settings, const Origins& origins, std::vector<Error>& errors);

}  // namespace leadwright
