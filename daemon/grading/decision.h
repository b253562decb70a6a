// SPDX-License-Identifier: Apache-2.0
// Conformance with a lower limit under measurement uncertainty (JCGM 106:2012, ILAC-G8:09/2019). Pure numbers
// in one unit of the caller's choice. Pure; any thread.
#pragma once

namespace leadwright {

/// A measured value and its standard uncertainty, in one unit.
struct Measured {
  double value = 0.0;
  double u = 0.0;
};

enum class Conformance { conforms, does_not_conform, undecided };
const char* word(Conformance conformance);

struct Decision {
  Conformance outcome = Conformance::undecided;
  double probability = 0.0;  ///< that the true value is at or above the limit
  double guard_band = 0.0;
};

/// p_c = Phi((y - limit)/u) for a normal distribution [JCGM 106, 7.3]; a step at the limit if u is zero.
double conformance_probability(const Measured& measured, double lower_limit);

/// Guard band w = factor x u on both sides: conforms at or above limit + w, does not conform at or below
/// limit - w, undecided between. A value or uncertainty that is not finite, or a negative uncertainty, is
/// undecided.
Decision decide(const Measured& measured, double lower_limit, double guard_factor);

}  // namespace leadwright
