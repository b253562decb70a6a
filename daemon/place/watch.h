// SPDX-License-Identifier: Apache-2.0
// Watches over readings while energy flows: does the current follow its setting, do the digits still change?
// Values only; the run feeds them one reading at a time.
#pragma once

#include <optional>

#include "daemon/battery/said.h"
#include "daemon/quantities/quantity.h"
#include "drivers/profile.h"

namespace leadwright {

/// A current that does not follow its setting for three samples after it had time to settle is a trip.
class FollowWatch {
 public:
  static constexpr int samples_off_max = 3;

  /// The current was set to `amps` at bench time `at`. A charger may give less (`exact` false), never more.
  void set(Ampere amps, Instant at, const Follow& follow, bool exact);
  /// False for a reading of which three would be a trip.
  bool follows(Instant at, std::optional<Ampere> measured) const;
  /// The sentence that says how it fails to follow, or nothing.
  std::optional<Sentence> check(Instant at, std::optional<Ampere> measured);

 private:
  Ampere amps_{0.0};
  Instant settled_at_;
  Ampere tolerance_{0.0};
  bool exact_ = true;
  int off_count_ = 0;
};

/// Identical digits of volts and amps many times in a row while current flows: a frozen converter.
class FrozenWatch {
 public:
  explicit FrozenWatch(int equal_max = 0) : equal_max_(equal_max) {}
  /// True when `equal_max` equal readings came in a row; never if equal_max is 0.
  bool frozen(std::optional<Volt> volts, std::optional<Ampere> amps);

 private:
  int equal_max_;
  int equal_count_ = 0;
  std::optional<Volt> volts_;
  std::optional<Ampere> amps_;
};

}  // namespace leadwright
