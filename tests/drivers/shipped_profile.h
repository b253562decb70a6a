// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <stdexcept>
#include <string>
#include <utility>

#include "drivers/profile.h"

namespace leadwright {

/// A profile of config/profiles, by its name there.
inline Profile shipped_profile(const std::string& name) {
  auto profile = load_profile(std::string(LEADWRIGHT_SOURCE_DIR "/config/profiles/") + name + ".toml");
  if (!profile) throw std::runtime_error(profile.error().front().line());
  return std::move(*profile);
}

}  // namespace leadwright
