// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/state_directory.h"

#include <unistd.h>

#include <cstdlib>
#include <string_view>

namespace leadwright {

namespace {

std::string environment(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? "" : value;
}

}  // namespace

std::string state_directory(const std::string& option) {
  if (!option.empty()) return option;
  const std::string given = environment("STATE_DIRECTORY");
  if (!given.empty()) return given.substr(0, given.find(':'));
  if (::geteuid() == 0) return "/var/lib/leadwright";
  const std::string state_home = environment("XDG_STATE_HOME");
  // The base directory specification has relative paths ignored.
  if (!state_home.empty() && state_home.front() == '/') return state_home + "/leadwright";
  const std::string home = environment("HOME");
  return home.empty() ? "" : home + "/.local/state/leadwright";
}

}  // namespace leadwright
