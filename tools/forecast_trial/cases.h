// SPDX-License-Identifier: Apache-2.0
// Discharges with a known end, to try forecasts on: outside traces and simulated batteries, each in two
// halves, one to tune on and one that is looked at only when everything is settled.
// Read next: methods.h (what is tried), main.cpp (the tables).
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "daemon/battery/design_curve.h"

namespace leadwright {

struct TrialCase {
  std::string name;
  std::string group;            ///< "B", "E" or the kind of simulated battery
  bool alike = true;            ///< no cell is weaker than the others
  Second nominal;               ///< as new, of this size
  DesignCurve curve;            ///< of the design as new
  DesignCurve foreign;          ///< of another design
  std::vector<Sample> samples;  ///< `at` since full current; 25 A
  Second end;                   ///< the truth
};

enum class Half { to_tune_on, held_out };

/// Groups B and E of the reference traces in order of their names: first, third, ... to tune on, the others
/// held out. The curve is that of the trace A of the same size, and where there is none that of 60 Ah
/// stretched to the nominal minutes.
Result<std::vector<TrialCase>> reference_cases(const std::string& folder, Half half);

/// The curve that the bench would learn of our simulator's batteries of that size.
DesignCurve simulated_design(double c20_ah);

/// Batteries of our own simulator, 25 A to the cut-off, read by a meter with gain, offset and noise. The
/// curve is learnt from `DesignCurve::batteries_min` sound ones of the same size; the
/// foreign one is the outside trace A of 60 Ah, in a few points.
std::vector<TrialCase> simulated_cases(int count, std::uint64_t seed);

}  // namespace leadwright
