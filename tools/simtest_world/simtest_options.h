// SPDX-License-Identifier: Apache-2.0
// What leadwright-simtest is asked to do.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "daemon/quantities/quantity.h"
#include "protocol/result.h"

namespace leadwright {

struct SimtestOptions {
  std::uint64_t first = 1;
  std::uint64_t last = 100;
  Second hours{1800.0};
  int jobs = 1;
  std::string log_file;              ///< of the one seed; empty: none
  std::vector<std::string> ceiling;  ///< see shape_of()
  bool twice = false;                ///< each seed again, and the logs compared
  bool hashes = false;               ///< the hash of each event log is said
  std::uint64_t each_kind = 0;       ///< each kind of fault must strike so often
  bool until_first = false;          ///< ends with the first seed in which something was violated
  bool help = false;
  std::string config_folder;
};

/// Fails with bad_input.
Result<SimtestOptions> read_simtest_options(const std::vector<std::string>& arguments);
std::string simtest_usage();

}  // namespace leadwright
