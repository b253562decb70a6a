// SPDX-License-Identifier: Apache-2.0
// A hydrometer's readings as JSON: {"gravity":[1.265,null,..],"acid_degc","at"}; null is a cell that nobody
// read. Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/battery/acid_reading.h"
#include "protocol/result.h"

namespace leadwright {

class JsonObject;

/// "null" without a reading.
std::string acid_json(const std::optional<AcidReading>& reading);

/// "[1.265,null]", for the store, and back. Fails with garbled for other text.
std::string gravities_json(const std::vector<std::optional<SpecificGravity>>& gravity);
Result<std::vector<std::optional<SpecificGravity>>> gravities_of(std::string_view stored);

/// As a person typed it; `at` is left for the caller. Missing where it can't be right, which is said in the
/// object's errors.
std::optional<AcidReading> read_acid(JsonObject acid);

}  // namespace leadwright
