// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/attendance.h"

#include <fmt/format.h>

#include <algorithm>

#include "daemon/battery/chemistry_limits.h"

namespace leadwright {

namespace {

/// A tested battery ends here: 10.5 V of six cells (shared domain notes, section 6: F).
constexpr Volt cell_discharged{1.75};
/// A setpoint that only rounding puts above the limit is not above it.
constexpr Volt rounding{0.005};

std::optional<Volt> highest_charge(const Procedure& procedure, Values values) {
  std::optional<Volt> highest;
  for (const Step& step : procedure.steps) {
    if (step.kind != StepKind::charge || !step.volts) continue;
    values.enter(step.frame);
    const auto volts = step.volts->evaluate(values);
    if (volts) highest = std::max(highest.value_or(Volt(0.0)), Volt(*volts));
  }
  return highest;
}

}  // namespace

std::string why_attended(const Procedure& procedure, const Nameplate& nameplate, const Values& values,
                         const AttendanceFacts& facts) {
  if (facts.place_is_attended_only) return "the place is attended only";
  if (facts.unattended_allowed) return {};
  if (procedure.attended) return fmt::format("the {} is attended", procedure.name);
  const std::optional<Volt> charge = highest_charge(procedure, values);
  if (!charge) return {};
  const std::optional<double> degc = values.get(Name::case_temperature);
  const auto limit = charge_limit(nameplate.chemistry, nameplate.cells, Celsius(degc.value_or(25.0)));
  if (limit && *charge > *limit + rounding) {
    return fmt::format("a charge to {:.2f} V, above {:.2f} V, is attended", charge->si(), limit->si());
  }
  const Volt discharged = cell_discharged * static_cast<double>(nameplate.cells);
  if (facts.volts && *facts.volts < discharged) {
    return fmt::format("the first charge of a battery at {:.2f} V, below {:.2f} V, is attended",
                       facts.volts->si(), discharged.si());
  }
  return {};
}

}  // namespace leadwright
