// SPDX-License-Identifier: Apache-2.0
// Chances of one simulated world, all from its seed. Each user has dice of its own, by name, so that one more
// throw here does not change what happens there.
#pragma once

#include <cmath>
#include <span>

#include "daemon/quantities/quantity.h"
#include "tools/benchsim/sim_random.h"

namespace leadwright {

class Dice {
 public:
  Dice(std::uint64_t seed, std::string_view name) : random_(seed, name) {}

  /// 0 to below 1.
  double share() { return static_cast<double>(random_.next() >> 11U) * 0x1.0p-53; }
  bool chance(double probability) { return share() < probability; }
  /// 0 to n - 1; n is at least 1.
  int below(int n) { return static_cast<int>(random_.next() % static_cast<std::uint64_t>(n)); }
  double between(double least, double most) { return least + (most - least) * share(); }
  /// Time until the next of events that come without memory, `mean` apart.
  Second wait(Second mean) { return mean * -std::log(1.0 - share()); }
  template <class Range>
  const auto& pick(const Range& range) {
    return range[static_cast<std::size_t>(below(static_cast<int>(std::size(range))))];
  }

 private:
  SimRandom random_;
};

}  // namespace leadwright
