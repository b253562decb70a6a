// SPDX-License-Identifier: Apache-2.0
// Many cores at once: what becomes of each by its voltage and a look. The same rules as the page's. Pure.
#pragma once

#include <string>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

struct Core {
  std::string serial;
  double volts_v = 0.0;
  std::string seen;  ///< "", "cracked", "leaking", "swollen", "frozen", "terminals_damaged"
};

struct BatchRules {
  int cells = 6;
  double least_v = 10.5;
};

/// Per cell, as the bench's own intake check has it: no cell of an empty battery rests so low.
inline constexpr double flat_cell_v = 1.75;
/// No lead cell rests above (from memory).
inline constexpr double lead_cell_max_v = 2.23;

/// "ticket", or why it is set aside: "unsafe", "twice", "not_lead", "too_low".
std::string outcome_of(const std::vector<Core>& cores, std::size_t index, const BatchRules& rules);

/// CSV with the heading "serial,volts" or "serial,volts,seen". bad_input with the line of the first mistake.
Result<std::vector<Core>> cores_of(const std::string& csv);

}  // namespace leadwright
