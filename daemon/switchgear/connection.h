// SPDX-License-Identifier: Apache-2.0
// Connecting an instrument, whoever owns it: a place, a box, or several places together.
#pragma once

#include <algorithm>
#include <utility>

#include "daemon/switchgear/instrument_watch.h"

namespace leadwright {

/// Machine time between two attempts to connect: twice as long after each failure.
constexpr Second reconnect_period_min{0.2};
constexpr Second reconnect_period_max{5.0};

class BackOff {
 public:
  /// The pause after one more failure.
  Second next() { return std::exchange(period_, std::min(period_ * 2.0, reconnect_period_max)); }

 private:
  Second period_ = reconnect_period_min;
};

/// What kind of bench this is: on simulated time only simulated instruments of the same scale belong.
struct BenchKind {
  Clocks clocks;
  bool simulated = false;
};

/// Connects and tells the watch. Refuses a real instrument on a simulated bench and the reverse.
Task<Result<void>> connect(InstrumentWatch& watch, BenchKind bench);

/// Asks for a reading, or the inputs of a box, only to see whether the instrument is still there.
Task<void> look_at(InstrumentWatch& watch);

}  // namespace leadwright
