// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/early_parameters.h"

#include <algorithm>
#include <string_view>

#include "daemon/battery/uncertainty.h"
#include "daemon/grading/early.h"

namespace leadwright {

namespace {

/// P: how far a battery on the bench may be from the reference temperature when nobody measured.
constexpr Kelvin unmeasured{5.0};

}  // namespace

void add_early_parameters(const Procedure& procedure, const Policy& policy, const Nameplate& nameplate,
                          const EstimatorSettings& settings, std::optional<Celsius> battery,
                          Choices& chosen) {
  if (!nameplate.reserve_capacity) return;
  const auto wants = [&](std::string_view word) {
    const auto& known = procedure.frames.front().parameters;
    return std::ranges::find(known, word, &Parameter::word) != known.end() &&
           std::ranges::none_of(chosen, [word](const auto& choice) { return choice.first == word; });
  };
  const Celsius reference = reference_temperature(nameplate.reserve_capacity->standard);
  EarlyQuestion question;
  question.criterion.minutes = nameplate.reserve_capacity->value;
  question.share_highest = policy.share_a;
  question.share_lowest = policy.share_c;
  question.guard_factor = policy.guard_factor;
  question.at = {battery.value_or(reference),
                 battery ? settings.u_case_to_electrolyte : rectangular(unmeasured), reference};
  const EarlyLimits limits = early_limits(question, settings);
  if (policy.early_reached && wants("enough")) chosen.emplace_back("enough", limits.reached.si());
  if (policy.early_missed && wants("too_few")) chosen.emplace_back("too_few", limits.missed.si());
}

}  // namespace leadwright
