// SPDX-License-Identifier: Apache-2.0
// What one visit of a battery took, from the counter to the counter. Values only.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "daemon/battery/ticket.h"
#include "daemon/settings/settings.h"

namespace leadwright {

/// The battery was clamped on there. Times count from its arrival.
struct Stay {
  PlaceKind kind = PlaceKind::shelf;
  Second from;
  Second to;
};

/// A complete run, without the time that people took.
struct RunTime {
  std::string procedure;
  Second took;
};

struct ReturnVisit {
  std::optional<Grade> grade;     ///< the last; missing where the bench gave none
  std::optional<Second> decided;  ///< when nothing was asked any more that could change its letter
  std::optional<Second> left;     ///< when it was handed over; missing where the time cap came first
  bool refused = false;           ///< at the counter, by its looks: no bench ever saw it
  std::string unfinished;         ///< why the visit ended otherwise than planned, one sentence; else empty
  Second hands_on;                ///< what people needed for it
  int acts = 0;                   ///< of theirs
  std::vector<Stay> stays;
  Second bay_runs;  ///< of `stays` at bays, what runs took
  Second charging_runs;
  Joule drawn;                    ///< turned into heat by loads
  Joule charged;                  ///< given by chargers
  std::vector<std::string> runs;  ///< "standard charge", "half-CCA load test (stopped)", in their order
  std::vector<RunTime> times;     ///< of the complete ones
  int trips = 0;
  std::optional<Volt> came;        ///< at rest, of the block, when it came in
  std::optional<Ohm> resistance;   ///< the first that was stated
  std::optional<Finding> minutes;  ///< at 25 A and the reference temperature, measured or at least
  std::vector<std::string> told;   ///< faults and signs of causes, in their words

  /// Clamped on at places of this kind, people's absence included.
  Second stayed(PlaceKind kind) const {
    Second sum;
    for (const Stay& stay : stays) {
      if (stay.kind == kind) sum += stay.to - stay.from;
    }
    return sum;
  }
};

}  // namespace leadwright
