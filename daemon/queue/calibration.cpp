// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/calibration.h"

#include <fmt/format.h>

#include <algorithm>

namespace leadwright {

double meters_widened_by(const std::vector<UsedInstrument>& instruments, const CalibrationRule& rule) {
  return std::ranges::any_of(instruments, &UsedInstrument::calibration_overdue) ? rule.widen_by : 1.0;
}

Result<void> calibration_allows(const std::vector<UsedInstrument>& instruments, const Procedure& wanted,
                                const CalibrationRule& rule, const std::string& place) {
  const auto overdue = std::ranges::find_if(instruments, &UsedInstrument::calibration_overdue);
  if (rule.overdue != OverdueMeters::refuse || overdue == instruments.end() || !any_step_draws(wanted))
    return {};
  return fail(
      Errc::refused,
      fmt::format("the calibration of {} was good until {}, and the policy tests with no meter that is "
                  "overdue",
                  overdue->name, overdue->calibration_due),
      place, "calibrate it, then write its new calibration_due into the settings");
}

}  // namespace leadwright
