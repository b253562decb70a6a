// SPDX-License-Identifier: Apache-2.0
// What the bench stated against the truth that it never saw: minutes with their interval, and faults and
// causes by what was truly wrong. Pure; any thread.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "tools/returns/summary.h"

namespace leadwright {

/// Minutes at 25 A that were measured to the end; what was stopped before says "at least" and is not here.
struct MinutesAccuracy {
  std::string kind;             ///< "all" for the last
  double bias = 0.0;            ///< mean of stated over true, less 1
  double spread = 0.0;          ///< standard deviation of the same
  Count covered;                ///< the truth lies within twice the stated standard uncertainty
  double bias_if_filled = 0.0;  ///< against what it would give if it could be filled
};

/// Of each kind that was measured, then of all.
std::vector<MinutesAccuracy> minutes_accuracy(const std::vector<RehearsedReturn>& all);

/// How often something was told of batteries of one kind, those with a severity in thirds of its span; under
/// "nothing" where neither fault nor sign was.
struct ToldRow {
  std::string kind;
  int batteries = 0;
  std::map<std::string, int> told;
};

std::vector<ToldRow> told_by_kind(const std::vector<RehearsedReturn>& all);

std::string accuracy_table(const std::vector<MinutesAccuracy>& rows);
std::string told_table(const std::vector<ToldRow>& rows);
std::string accuracy_json(const std::vector<MinutesAccuracy>& rows);
std::string told_json(const std::vector<ToldRow>& rows);

}  // namespace leadwright
