// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/decision.h"

#include <cmath>

namespace leadwright {

const char* word(Conformance conformance) {
  switch (conformance) {
    case Conformance::conforms:
      return "conforms";
    case Conformance::does_not_conform:
      return "does not conform";
    case Conformance::undecided:
      return "undecided";
  }
  return "?";
}

double conformance_probability(const Measured& measured, double lower_limit) {
  const double above = measured.value - lower_limit;
  if (measured.u <= 0.0) return above >= 0.0 ? 1.0 : 0.0;
  constexpr double root_half = 0.70710678118654752;
  return 0.5 * std::erfc(-above / measured.u * root_half);
}

Decision decide(const Measured& measured, double lower_limit, double guard_factor) {
  if (!std::isfinite(measured.value) || !std::isfinite(measured.u) || measured.u < 0.0) return {};
  Decision decision;
  decision.probability = conformance_probability(measured, lower_limit);
  decision.guard_band = guard_factor * measured.u;
  if (measured.value >= lower_limit + decision.guard_band) {
    decision.outcome = Conformance::conforms;
  } else if (measured.value <= lower_limit - decision.guard_band) {
    decision.outcome = Conformance::does_not_conform;
  }
  return decision;
}

}  // namespace leadwright
