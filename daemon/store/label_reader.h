// SPDX-License-Identifier: Apache-2.0
// A battery's label as JSON, read strictly. Private to this folder's .cpp files: it shows the JSON library.
#pragma once

#include <string>
#include <vector>

#include "daemon/battery/nameplate.h"
#include "daemon/store/json_object.h"

namespace leadwright {

/// A battery's label must state chemistry and cells, and may have a date; a part's has none; of what a
/// vehicle asks for nothing must be stated.
enum class LabelOf { battery, part, vehicle };

/// The keys of a nameplate and, of a battery, date_code, which is given back as stamped. Mistakes go to
/// `errors`, which is where `label` puts its own; `path` is its path: "battery.".
void read_nameplate(JsonObject& label, LabelOf of, const std::string& path, Nameplate& plate,
                    std::string& date_code, std::vector<Error>& errors);

/// Where the plus post may lie, and the kinds of posts.
const std::vector<std::string>& plus_words();
const std::vector<std::string>& post_words();

}  // namespace leadwright
