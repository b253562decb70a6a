// SPDX-License-Identifier: Apache-2.0
// Made-up discharges at 25 A with a known end, of a design invented for these tests: its plateau falls, its
// knee is soft. Nothing of it comes from our simulator or from an outside trace.
#pragma once

#include <cmath>
#include <vector>

#include "daemon/battery/forecast.h"

namespace leadwright {

struct MadeDischarge {
  double rate = 1.0;       ///< times as fast as new
  double lowered_v = 0.0;  ///< of the battery
  Second as_new = minutes(120.0);
  int cells = 6;
  Second weak_from = hours(1000.0);  ///< from then one cell falls by 20 mV a minute, then faster
};

/// As new, volts a cell; 1.75 V at the share 1.
inline double made_cell_v(double share) {
  return 2.06 - 0.22 * share - 0.09 * std::pow(share, 6.0);
}

inline Volt made_volts(const MadeDischarge& made, Second at) {
  const double share = made.rate * (at / made.as_new);
  double volts = made.cells * made_cell_v(share) - made.lowered_v;
  if (at > made.weak_from) volts -= 0.02 * std::pow(as_minutes(at - made.weak_from), 2.0);
  return Volt(volts);
}

inline Second end_of_made(const MadeDischarge& made) {
  Second at;
  while (made_volts(made, at) > Volt(1.75 * made.cells)) at += Second(0.1);
  return at;
}

/// Every five seconds up to `until` or the end.
inline std::vector<Sample> made_samples(const MadeDischarge& made, Second until = hours(20.0)) {
  std::vector<Sample> samples;
  for (Second at; at <= until; at += Second(5.0)) {
    Sample sample;
    sample.at = at;
    sample.volts = made_volts(made, at);
    samples.push_back(sample);
    if (*sample.volts < Volt(1.75 * made.cells)) break;
  }
  return samples;
}

/// Learnt from as many as it takes, all as new.
inline DesignCurve made_curve() {
  const std::vector<Sample> samples = made_samples({});
  const DesignTrace trace{samples, Second(0.0), end_of_made({}), 6};
  const std::vector<DesignTrace> traces(DesignCurve::batteries_min, trace);
  return *learn_design({"T6", Chemistry::flooded, minutes(120.0)}, 1, traces);
}

}  // namespace leadwright
