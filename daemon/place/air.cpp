// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/air.h"

#include <algorithm>

#include "daemon/battery/gas.h"

namespace leadwright {

Airflow air_needed(Ampere charge, int cells) {
  return {ventilation_m3_per_h(charge, cells)};
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
