// SPDX-License-Identifier: Apache-2.0
// A policy file: criterion, thresholds, guard bands and dispositions for one kind of user.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

struct Policy {
  std::string name;
  int version = 1;
  std::string file;
  std::string hash;
  /// Shares of the rated reserve capacity from which a battery is A, B, C; below C it is D.
  double share_a = 1.0;
  double share_b = 0.8;
  double share_c = 0.6;
  double guard_factor = 1.645;  ///< guard band w = factor x u (JCGM 106); 1.645 is 5 % risk one-sided
  bool high_rate_draw_required = false;
  /// Recoveries, charges above 2.40 V a cell and first charges from below 1.75 V a cell may go on alone at
  /// places that are not attended only (daemon/place/attendance.h).
  bool unattended_hard_charges = false;
  /// A discharge may be stopped when it has lasted for A with the guard band, by measurement.
  bool early_reached = false;
  /// A discharge may be stopped when the forecast, with its margin, ends below C with the guard band.
  bool early_missed = false;
  double soc_min_to_test = 0.75;             ///< "never grade a discharged battery"
  std::map<char, std::string> dispositions;  ///< by letter, in the policy's own words
};

tl::expected<Policy, std::vector<Error>> read_policy(std::string_view text, const std::string& file);

/// As above, from a file; one that can't be read is one error.
tl::expected<Policy, std::vector<Error>> load_policy(const std::string& path);

}  // namespace leadwright
