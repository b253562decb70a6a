// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/gas_off.h"

#include <algorithm>
#include <cmath>

namespace leadwright {

Second GasOff::left(const Clock& bench) const {
  if (!charged_at) return Second(0.0);
  return std::max(Second(0.0), *charged_at + wait - bench.now());
}

Sentence GasOff::warning(const Clock& bench) const {
  const Second time = left(bench);
  if (time <= Second(0.0)) return {};
  return say("gas_has_not_gone",
             "do not unclamp until {until}, {minutes} min from now: the gas of the charge has not gone",
             {said_words("until", (bench.utc() + time).rfc3339()),
              said_count("minutes", std::lround(std::ceil(as_minutes(time))))});
}

bool charges(const Procedure& procedure) {
  return std::ranges::any_of(procedure.steps, [](const Step& step) { return step.kind == StepKind::charge; });
}

Ampere heaviest_draw(const Procedure& procedure, Values values) {
  Ampere most{0.0};
  for (const Step& step : procedure.steps) {
    if (!draws(step.kind)) continue;
    values.enter(step.frame);
    Ampere full{0.0};
    for (const auto* amps : {&step.amps, &step.amps_max}) {
      if (*amps) full = std::max(full, Ampere((*amps)->evaluate(values).value_or(0.0)));
    }
    const auto reach = values.get(Name::load_amps_max);
    if (step.instead && reach && full > Ampere(*reach)) {
      full = Ampere(step.instead->amps.evaluate(values).value_or(0.0));
    }
    most = std::max(most, full);
  }
  return most;
}

}  // namespace leadwright
