// SPDX-License-Identifier: Apache-2.0
// What a profile says its instrument can do, in plain words, and what the daemon does where it can't. Pure;
// any thread.
#pragma once

#include <string>
#include <vector>

#include "drivers/profile.h"

namespace leadwright {

struct ProfileAccount {
  std::string title;  ///< "generic SCPI load: a load, over serial or tcp"
  std::vector<std::string> can;
  /// Each says what follows from it.
  std::vector<std::string> cannot;
};

ProfileAccount account_of(const Profile& profile);

}  // namespace leadwright
