// SPDX-License-Identifier: Apache-2.0
// One seed, which is one whole world: a safety phase in which anything may fail and nothing wrong may happen,
// then a liveness phase in which faults stop and everything must come right. For: the program
// leadwright-simtest and tests. One thread. The same seed and options give the same event log, byte for byte.
// Read next: promises.h (what must hold), shape.h (what a seed makes of a world).
#pragma once

#include <cstdint>
#include <iosfwd>
#include <string>
#include <vector>

#include "tools/simtest_world/promises.h"
#include "tools/simtest_world/tally.h"

namespace leadwright {

struct SeedOptions {
  std::uint64_t seed = 1;
  Second hours{1800.0};              ///< bench time of the safety phase
  std::vector<std::string> ceiling;  ///< see shape_of()
  std::string config_folder;
  std::ostream* log = nullptr;  ///< every event, every byte, every act of a person; null: none
};

struct SeedResult {
  Tally tally;
  std::vector<Violation> violations;
  std::uint64_t hash = 0;  ///< of the event log, bytes of all links included
  std::string shape;
};

/// Everything must have come right so long after the faults stopped.
constexpr Second converges_within{40.0 * 60.0};

SeedResult run_seed(const SeedOptions& options);

}  // namespace leadwright
