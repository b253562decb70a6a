// SPDX-License-Identifier: Apache-2.0
// Pieces of procedure files, for tests that put them together.
#pragma once

#include <string>

namespace leadwright {

inline constexpr const char* made_head = R"(schema = 1
name = "p"
version = 1
what = "It is for a test."
needs = ["load", "charger", "thermometer"]
)";

/// "draw": 5 A to a cut-off of 1.72 V a cell.
inline std::string made_draw(const std::string& at_most) {
  std::string step = R"(
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "5 A"
cutoff = "1.72 V * cells"
at_most = ")";
  return step.append(at_most).append("\"\n");
}

/// "rest".
inline std::string made_rest(const std::string& at_most) {
  std::string step = R"(
[[step]]
name = "rest"
do = "rest"
what = "Rest."
at_most = ")";
  return step.append(at_most).append("\"\n");
}

}  // namespace leadwright
