// SPDX-License-Identifier: Apache-2.0
// What is certain of a procedure before it runs: that it ends, how long and how much at most, and that what
// it sets stays within the limits of the chemistry and its own. Pure; any thread.
//
// For a file the proof is made for 3 and 6 cells, each lead chemistry and 0, 25 and 50 degC, with parameters
// anywhere between their limits (intervals), and for small, middle and large ratings. For one battery the
// same is exact (`plan.h` in place). What a step keeps can't be known beforehand: an amount that uses it must
// be bounded by min or max, else it is not proved.
#pragma once

#include <optional>
#include <vector>

#include "daemon/procedure/procedure.h"

namespace leadwright {

/// Closed interval, perhaps without end on a side.
struct Range {
  double low = 0.0;
  double high = 0.0;
  bool holds_one() const { return low == high; }
};

/// Where names can lie. A name without a range may have any value.
class Ranges {
 public:
  void set(Name name, Range range) { named_[static_cast<std::size_t>(name)] = range; }
  void set_own(std::size_t slot, Range range);
  Range get(Name name) const;
  Range own(std::size_t slot) const;

 private:
  std::array<std::optional<Range>, static_cast<std::size_t>(Name::count_)> named_;
  std::vector<std::optional<Range>> own_;
};

/// Every value that the expression can have lies in it (interval arithmetic, so it may be wider than needed).
/// For a condition: 0, 1 or both.
Range range_of(const Expression& expression, const Ranges& ranges);

/// How often each step can run at most: once, and once more for each time that a decide step at or behind it
/// may go back to it or to a step before it.
std::vector<int> most_runs(const Procedure& procedure);

/// The longest that a linked procedure can take, for a battery with these values; missing if a time limit
/// needs a datum that is missing.
std::optional<Second> longest(const Procedure& procedure, Values values);

/// The same for a usual battery, to be told with a file: flooded, 12 V, 60 Ah, 600 A, 100 min.
std::optional<Second> longest_usual(const Procedure& procedure);

/// Findings and pulses that the rule after an interruption would stitch together of two parts, if the
/// procedure says that its runs go on. A draw never does, whatever it says.
std::vector<Error> stitched(const Procedure& procedure);

/// What can't be proved of a linked procedure: a step that can never be reached, a voltage or current that
/// could leave the envelope, a time limit of the run shorter than its steps and interruptions could take, a
/// measurement that an interruption would stitch.
std::vector<Error> unproved(const Procedure& procedure);

}  // namespace leadwright
