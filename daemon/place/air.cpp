// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/air.h"

#include <algorithm>

namespace leadwright {

Airflow air_needed(Ampere charge, int cells) {
  constexpr double m3_per_h_and_cell_ampere = 0.05;
  return {m3_per_h_and_cell_ampere * cells * charge.si()};
}

Ampere heaviest_charge(const Procedure& procedure, Values values) {
  Ampere most{0.0};
  for (const Step& step : procedure.steps) {
    if (step.kind != StepKind::charge || !step.amps) continue;
    values.enter(step.frame);
    most = std::max(most, Ampere(step.amps->evaluate(values).value_or(0.0)));
  }
  return most;
}

}  // namespace leadwright
