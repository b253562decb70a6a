// SPDX-License-Identifier: Apache-2.0
// May a procedure go on after an interruption? Only where nothing that it states needs one piece.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "daemon/procedure/proof.h"

namespace leadwright {
namespace {

/// What these state is as true of a charge or rest in two parts: a sum whose missing piece is bounded and
/// stands in its uncertainty, or a voltage that is read at the end of the last part.
constexpr std::array<std::string_view, 5> bears_interruption{"returned_charge", "charge_acceptance", "ocv",
                                                             "soc", "new_battery"};

const Step* step_named(const Procedure& procedure, const std::string& name) {
  const auto found = std::ranges::find(procedure.steps, name, &Step::name);
  return found == procedure.steps.end() ? nullptr : &*found;
}

std::string why_stitched(const Procedure& procedure, const Step& step) {
  if (step.kind == StepKind::pulse) return "pulses are compared with each other";
  if (step.kind != StepKind::state || step.fault) return {};
  const auto any_of = [&](auto is_so) {
    return std::ranges::any_of(step.of, [&](const std::string& name) {
      const Step* of = step_named(procedure, name);
      return of != nullptr && is_so(of->kind);
    });
  };
  // Of draws alone: an interrupted draw is void whatever the rule.
  if (step.finding == "delivered_charge" && !any_of([](StepKind kind) { return !draws(kind); })) return {};
  if (std::ranges::find(bears_interruption, step.finding) == bears_interruption.end())
    return fmt::format("{} is measured in one piece", step.finding);
  if (any_of(draws)) return fmt::format("{} is made of a draw", step.finding);
  return {};
}

}  // namespace

std::vector<Error> stitched(const Procedure& procedure) {
  std::vector<Error> errors;
  if (!procedure.resumes) return errors;
  for (const Step& step : procedure.steps) {
    const std::string why = why_stitched(procedure, step);
    if (why.empty()) continue;
    errors.push_back(
        {Errc::bad_input,
         fmt::format("\"{}\" would be stitched together after an interruption: {}", step.name, why),
         step.where, "take after_interruption out: such a run is void and done again"});
  }
  return errors;
}

}  // namespace leadwright
