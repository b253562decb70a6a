// SPDX-License-Identifier: Apache-2.0
// What a person read with a hydrometer in an opened battery: values only.
#pragma once

#include <optional>
#include <vector>

#include "daemon/clock/instant.h"
#include "daemon/quantities/quantity.h"

namespace leadwright {

/// Density of the acid relative to water, at 80 degF unless said otherwise. A pure number.
struct SpecificGravity {
  double value = 0.0;

  bool operator==(const SpecificGravity&) const = default;
};

/// One look into its cells, in their order from the positive post; a cell that was not read is missing.
struct AcidReading {
  std::vector<std::optional<SpecificGravity>> gravity;  ///< as read, not referred to any temperature
  Celsius acid{25.0};
  Utc at;

  bool operator==(const AcidReading&) const = default;
};

}  // namespace leadwright
