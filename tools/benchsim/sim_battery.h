// SPDX-License-Identifier: Apache-2.0
// A simulated battery as two posts on the bench see it. For: the terminals of a place, tests, rehearsals.
// Owned by the bench (SimBench) or a test. Thread: the one that runs its clock. Never: knows about
// instruments, and never uses anything of daemon/battery: simulator and estimator must be able to disagree.
// Read next: cell_battery.h (our own model), replay_battery.h (an outside trace), terminals.h.
#pragma once

#include <memory>
#include <string>

#include "daemon/quantities/quantity.h"

namespace leadwright {

class SimBattery {
 public:
  virtual ~SimBattery() = default;
  virtual std::unique_ptr<SimBattery> clone() const = 0;

  /// Lets `time` pass while `discharge` flows out of the positive post (negative: charge). Any length is
  /// stable; a length of up to 10 s with the current held is accurate.
  virtual void advance(Second time, Ampere discharge) = 0;
  /// Volts between the posts at this instant if `discharge` flows. Falls as `discharge` rises.
  virtual Volt terminal(Ampere discharge) const = 0;
  /// Volts to which it settles if left alone; negative if it stands the wrong way round.
  virtual Volt rested() const = 0;
  virtual Celsius temperature() const = 0;
  virtual int cells() const = 0;
  /// Why no charger can push current into it; empty if one can.
  virtual std::string charge_refusal() const { return {}; }
  /// The truth that a test may compare with: time for which it gives 25 A down to 1.75 V a cell, from full
  /// and rested, begun at 25 degC in still air, without instrument errors. Leaves the battery as it is.
  virtual Second truth_at_25a() const = 0;
  /// One line for people: kind, state, faults.
  virtual std::string description() const = 0;
};

}  // namespace leadwright
