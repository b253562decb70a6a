// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/cell_build.h"

#include <array>

namespace leadwright {

namespace {

struct Built {
  CellBuild build;
  const char* word;
  BuildLevels levels;
};

// Rested volts: shared/domain.md, section 5 (EFB with acid of 1.28; AGM 12.8 to 13.2 V full and below 12.0 V
// empty; gel 12.8 to 13.2 V full and about 12.1 V half full). Resistance: section 6 for AGM (2.5 mohm at 75
// Ah); the others are ours. The pores: set so that the minutes at 25 A are those of published ratings,
// section 2 for gel (70 Ah: 130 min), section 6 for AGM (75 Ah: 155 min).
constexpr std::array builds{Built{CellBuild::flooded, "flooded", {0.0, 0.0, 1.0, 1.0}},
                            Built{CellBuild::efb, "efb", {0.015, 0.010, 0.85, 1.0}},
                            Built{CellBuild::agm, "agm", {0.035, 0.015, 0.84, 0.85}},
                            Built{CellBuild::gel, "gel", {0.035, -0.055, 1.2, 1.13}}};

}  // namespace

const char* word(CellBuild build) {
  for (const Built& built : builds) {
    if (built.build == build) return built.word;
  }
  return "?";
}

std::optional<CellBuild> cell_build_of(std::string_view word) {
  for (const Built& built : builds) {
    if (built.word == word) return built.build;
  }
  return std::nullopt;
}

BuildLevels levels_of(CellBuild build) {
  for (const Built& built : builds) {
    if (built.build == build) return built.levels;
  }
  return builds.front().levels;
}

}  // namespace leadwright
