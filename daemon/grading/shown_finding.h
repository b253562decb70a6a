// SPDX-License-Identifier: Apache-2.0
// A finding as people read it: its name in words, and its numbers in the unit of the trade. Pure; any thread.
#pragma once

#include <string>

#include "daemon/battery/ticket.h"

namespace leadwright {

struct ShownFinding {
  std::string name;      ///< "open-circuit voltage"
  std::string value;     ///< "12.684": so many decimals that the expanded uncertainty has two digits
  std::string expanded;  ///< "0.012": expanded uncertainty, k = 2
  std::string unit;      ///< "V"
};

ShownFinding shown_finding(const Finding& finding);

/// So many decimals that the expanded uncertainty of this standard one shows two digits; 3 if there is none.
int decimals_of(double u);

}  // namespace leadwright
