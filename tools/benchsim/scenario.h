// SPDX-License-Identifier: Apache-2.0
// What comes over the counter in a demo: invented batteries, their labels and stories, read from TOML.
#pragma once

#include <string>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

struct ScenarioBattery {
  std::string what;  ///< for people
  std::string serial;
  std::string simulated;       ///< battery_spec.h, a replay's path made absolute
  int cells = 6;               ///< as a person would count them
  bool ends_at_grade = false;  ///< nothing is done with it after its grade
  std::string drop_off;        ///< body for POST /api/v1/tickets, JSON
};

/// Every mistake in the file at once.
tl::expected<std::vector<ScenarioBattery>, std::vector<Error>> load_scenario(const std::string& path);

}  // namespace leadwright
