// SPDX-License-Identifier: Apache-2.0
// What one seed makes of a world: the bench, the moods of its people, and which kinds of faults strike in it,
// how often. Swarm style: every seed switches on a subset of its own, so that some worlds are calm and some
// are storms, and rare compositions come up.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "tools/rehearse/world.h"

namespace leadwright {

/// A fault, an accident or a mistake, by the word under which it is counted ("cable.pulled").
using FaultName = std::string;

struct WorldShape {
  std::uint64_t seed = 1;
  WorldOptions bench;  ///< without tap
  bool hasty = false;  ///< rests and charges are short, so that the whole chain is seen
  std::size_t tickets_max = 3;
  Second gas_off{60.0};  ///< after a charge
  Second turn;           ///< mean time between two acts of its people
  /// Share of the acts in which somebody errs, by mistake. Absent: nobody does.
  std::map<FaultName, double> mistakes;
  /// Mean time between two strikes on the whole bench. Absent: never.
  std::map<FaultName, Second> strikes;
  FaultPlan links;
  StorePlan store;

  /// A digit on a wire may be another one than was sent.
  bool flips_digits() const { return links.flip > 0.0 || strikes.contains("cable.flipped"); }
  /// One line for people.
  std::string description() const;
};

/// `ceiling` bounds the faults: kinds whose names begin with none of these words stay off; empty allows all.
WorldShape shape_of(std::uint64_t seed, const std::vector<std::string>& ceiling = {});

/// Every kind, so that what never struck can be told.
const std::vector<FaultName>& all_strikes();
const std::vector<FaultName>& all_mistakes();

}  // namespace leadwright
