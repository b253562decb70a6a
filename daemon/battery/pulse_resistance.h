// SPDX-License-Identifier: Apache-2.0
// DC resistance from the edges of a pulse train: what the voltage does at once, and what the pulse adds until
// its end. Pure; any thread.
#pragma once

#include <span>

#include "daemon/battery/findings.h"

namespace leadwright {

struct PulseReading {
  Ampere base;       ///< flows between the pulses
  Ampere high;       ///< in a pulse
  Ohm instant;       ///< slope of all edges: sum(dU dI)/sum(dI dI)
  Ohm u_instant;     ///< of the mean, from the spread between the edges
  Ohm polarisation;  ///< mean over the pulses of what is added from the first to the last sample
  Ohm u_polarisation;
  Second lateness;  ///< of the first sample after an edge: the middle one
  Second width;     ///< from the first to the last sample of a pulse: the middle one
  std::size_t edges = 0;
  std::size_t pulses = 0;
};

/// Fails with unsupported if there are fewer than two whole pulses with readings on both sides of their
/// edges, if the levels lie less than 1 A apart, or if the voltage does not fall under the higher one.
Result<PulseReading> pulse_reading(std::span<const Sample> samples);

/// Findings resistance (instant) and polarisation from `of` = a pulse train.
Result<Findings> state_pulse_resistance(const FindingRequest& request);

}  // namespace leadwright
