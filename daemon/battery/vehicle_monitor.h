// SPDX-License-Identifier: Apache-2.0
// What the vehicle's battery monitor reported of a battery, read by whoever took it out. A story, not
// evidence: it is compared with what the bench measured, and never part of it. Pure; any thread.
#pragma once

#include <optional>
#include <string>

#include "daemon/quantities/quantity.h"

namespace leadwright {

/// Missing is what nobody read.
struct VehicleMonitor {
  std::optional<double> soc;  ///< share of its charge, 0..1
  std::optional<Second> age;  ///< since it was told of a battery change
  std::optional<Celsius> battery;
  std::string reset_on;  ///< day on which it was told of a change, "2026-01-15"; empty if unknown

  bool operator==(const VehicleMonitor&) const = default;
};

/// "82 % charged; 40 days old; 21.0 degC; told of a change on 2026-01-15"; empty if nothing was read.
std::string words(const VehicleMonitor& monitor);

}  // namespace leadwright
