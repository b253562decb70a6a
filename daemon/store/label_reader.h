// SPDX-License-Identifier: Apache-2.0
// A battery's label as JSON, read strictly. Private to this folder's .cpp files: it shows the JSON library.
#pragma once

#include <string>
#include <vector>

#include "daemon/battery/nameplate.h"
#include "daemon/store/json_object.h"

namespace leadwright {

/// Whether chemistry and cells must be there: on a label they must, of what a vehicle asks for they need not.
enum class LabelOf { battery, vehicle };

/// The keys of a nameplate and, of a battery, date_code, which is given back as stamped. Mistakes go to
/// `errors`, which is where `label` puts its own; `path` is its path: "battery.".
void read_nameplate(JsonObject& label, LabelOf of, const std::string& path, Nameplate& plate,
                    std::string& date_code, std::vector<Error>& errors);

}  // namespace leadwright
