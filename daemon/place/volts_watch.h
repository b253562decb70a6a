// SPDX-License-Identifier: Apache-2.0
// Watches over volts at a constant current: what a cell can't do was the clamp, and is blamed on it before
// the battery; and a voltage that falls while charging is a cell that shorts. Thresholds carry their mark in
// volts_watch.cpp. Values only; the run feeds them one sample at a time.
#pragma once

#include <array>
#include <optional>

#include "daemon/battery/said.h"
#include "daemon/place/sliding.h"

namespace leadwright {

/// A step of the voltage at a constant draw, upwards or between two level stretches.
class ClampWatch {
 public:
  /// `amps` positive. What is sampled more slowly than every 2 s can't tell a step from a fall.
  std::optional<Sentence> check(Second at, Volt volts, Ampere amps);
  void clear() { count_ = 0; }

 private:
  struct Seen {
    Second at;
    Volt volts;
    Ampere amps;
  };
  std::array<Seen, 6> seen_{};  ///< oldest first
  std::size_t count_ = 0;
};

/// The charge current is gone from one sample to the next and stays so.
class LostCurrentWatch {
 public:
  std::optional<Sentence> check(Second at, Ampere amps);
  void clear() { *this = LostCurrentWatch(); }

 private:
  Ampere last_{0.0};
  Second last_at_{0.0};
  int gone_count_ = 0;
};

/// What flows into a battery tapers: from one sample to the next it ends where a clamp comes off or the
/// charger goes off by itself, however far apart the samples are and however little flowed.
class EndedCurrentWatch {
 public:
  std::optional<Sentence> check(Ampere amps);
  void clear() { *this = EndedCurrentWatch(); }

 private:
  bool flowed_ = false;
  int ended_count_ = 0;
};

/// Two meters on sense leads of their own, while current flows.
class SensesWatch {
 public:
  std::optional<Sentence> check(Volt working, Volt other, Ampere amps);

 private:
  int apart_count_ = 0;
};

/// The voltage falls while the charger gives all of its limit.
class FallingVoltsWatch {
 public:
  FallingVoltsWatch();
  /// A charge at up to `limit` into so many cells begins.
  void begin(Ampere limit, int cells);
  std::optional<Sentence> check(Second at, Volt volts, Ampere amps);

 private:
  Ampere limit_{0.0};
  int cells_ = 6;
  SlidingLowest<Volt> highest_;  ///< of the negative
  std::optional<Second> constant_since_;
  std::optional<Second> fallen_since_;
};

}  // namespace leadwright
