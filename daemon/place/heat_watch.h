// SPDX-License-Identifier: Apache-2.0
// Watches over the warmth of a battery while current flows: too fast, too warm, a current that runs away with
// it, and a thermometer that shows none of it. Thresholds carry their mark in heat_watch.cpp. Values only;
// the run feeds them one sample at a time, at its time since the start of the run.
#pragma once

#include <optional>

#include "daemon/battery/said.h"
#include "daemon/place/sliding.h"

namespace leadwright {

/// More than 10 K in 10 minutes.
class RiseWatch {
 public:
  RiseWatch();
  /// The sentence that says how fast, or nothing.
  std::optional<Sentence> check(Second at, Celsius temperature);

 private:
  SlidingLowest<Celsius> coldest_;
  int off_count_ = 0;
};

/// While charging, more than 15 K above the room. The room is not measured: it counts as what the case showed
/// before energy, or as 25 degC if that is more, so that a battery from the cold may become as warm as
/// others.
class WarmthWatch {
 public:
  void begin(Celsius before_energy) { room_ = before_energy; }
  std::optional<Sentence> check(Celsius temperature);

 private:
  std::optional<Celsius> room_;
  int off_count_ = 0;
};

/// At constant voltage, once the current has begun to fall or stands: it rises by more than a tenth within 10
/// minutes while the case warms. How a charge starts is no such rise: a charger comes up over some seconds,
/// and a battery may take more from minute to minute at first.
class RunawayWatch {
 public:
  RunawayWatch();
  /// A charge at up to `limit` begins.
  void begin(Ampere limit);
  std::optional<Sentence> check(Second at, Ampere amps, Celsius temperature);

 private:
  /// The start is over: the current is below the limit and no longer rises, or has had its time.
  bool has_started(Second at, Ampere amps);

  Ampere limit_{0.0};
  bool tapers_ = false;
  std::optional<Second> began_at_;
  Ampere last_{0.0};
  Ampere highest_{0.0};
  Second risen_at_{0.0};
  SlidingLowest<Ampere, Celsius> least_;
  std::optional<Second> since_;
};

/// While charging: by the heat that the current leaves in it the case should have changed by some kelvin, and
/// not a digit of the thermometer has moved. A draw tells nothing: what it heats by its losses it cools by
/// its chemistry, and the outside traces at 25 A stay within a tenth of a kelvin for most of an hour.
class StillThermometerWatch {
 public:
  /// A battery of this capacity and so many cells that showed `rested` before energy.
  void begin(Coulomb capacity, int cells, Volt rested);
  std::optional<Sentence> check(Second at, Volt volts, Ampere amps, Celsius temperature);

 private:
  std::optional<Volt> lossless_;  ///< what the charge would take without heat
  Coulomb capacity_{0.0};
  Second at_{0.0};
  double warmer_k_ = 0.0;  ///< than the room, by the model
  std::optional<Celsius> shown_;
  Second shown_since_{0.0};
  double warmer_then_k_ = 0.0;
};

}  // namespace leadwright
