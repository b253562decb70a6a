// SPDX-License-Identifier: Apache-2.0
// Amounts in the tables of a policy file. Private to this folder; pure.
#pragma once

#include <optional>
#include <string_view>

namespace leadwright {

class TomlTable;

struct AmountBounds {
  double lowest;
  double highest;
  const char* range;  ///< for people: "degrees, as \"15 degC\""
};

/// "15 degC" with this unit; missing if absent or wrong, which is said.
std::optional<double> read_amount(const TomlTable& root, std::string_view key, std::string_view unit,
                                  const AmountBounds& bounds);

}  // namespace leadwright
