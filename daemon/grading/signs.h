// SPDX-License-Identifier: Apache-2.0
// What the findings together point to, beyond what a single one proves: a cause, told to whoever decides what
// to do with the battery. A sign is no fault and never changes a letter. Pure; any thread. Thresholds with
// their marks: signs.cpp.
//
// Not among them, since nothing that the bench measures tells it from wear: shed material. A weak cell shows
// in the curve of a discharge as well: plateau_watch.h. Read next: acid_signs.h.
#pragma once

#include <vector>

#include "daemon/battery/said.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

enum class SignKind {
  sulphation,           ///< takes a charge badly, or is not full after one, with a high resistance
  resistive_when_full,  ///< corroded grids or straps, or acid lost: full, with a high resistance
  self_discharge,       ///< falls at rest faster than a sound one
  weak_cell,            ///< one cell's acid is far weaker than that of the others
  uneven_cells,         ///< the acid differs between the cells: to be charged and read again
  stratification,       ///< acid in layers: its voltage looks fuller than it is
  lacks_volts,          ///< even acid, and less voltage than that gives
  dry_out,              ///< water is missing, and it shows in resistance or minutes
};
const char* word(SignKind kind);

struct Sign {
  SignKind kind;
  Sentence evidence;
};

/// Each kind at most once. Only where the value lies beyond its limit by twice its standard uncertainty.
std::vector<Sign> signs_of(const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
