// SPDX-License-Identifier: Apache-2.0
// Amperes at 7.2 V and -18 degC, ESTIMATED from the DC resistance at bench temperature. Nothing at room
// temperature measures cold cranking: the interval is wide on purpose. Pure; any thread. Shared domain notes,
// sections 3 and 6; marks in cranking_estimate.cpp.
#pragma once

#include "daemon/battery/findings.h"

namespace leadwright {

struct CrankingEstimate {
  Ampere amps;
  std::vector<BudgetLine> budget;
};

/// 2.8 V / R for six cells, R referred to 25 degC by 0.75 %/K.
CrankingEstimate cranking_estimate(Ohm resistance, Ohm u_resistance, Celsius battery, int cells);

/// Finding cranking_estimate from `of` = a pulse train, or a lower and a higher draw. Fails with unsupported
/// without a temperature.
Result<Findings> state_cranking_estimate(const FindingRequest& request);

}  // namespace leadwright
