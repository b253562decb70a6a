// SPDX-License-Identifier: Apache-2.0
// How a lead cell is built, as far as the model tells the builds apart: its acid's strength, its resistance
// and how fast acid comes into its pores.
#pragma once

#include <optional>
#include <string_view>

namespace leadwright {

enum class CellBuild { flooded, efb, agm, gel };

/// "agm"
const char* word(CellBuild build);
std::optional<CellBuild> cell_build_of(std::string_view word);

/// Beside a flooded cell.
struct BuildLevels {
  double emf_full;   ///< volt, added at rest when full
  double emf_empty;  ///< volt, the same at the end of its acid
  double ohmic;      ///< its resistance is so many times that of a flooded cell
  double deficit;    ///< so many times the acid is missing in the pores at the same current
};
BuildLevels levels_of(CellBuild build);

}  // namespace leadwright
