// SPDX-License-Identifier: Apache-2.0
// What a discharge has already decided need not be discharged further. "Reaches" is decided by measurement
// alone, when the discharge itself has passed the limit and its guard band; "does not reach" may rest on a
// forecast with a calibrated margin, where the policy allows it. Pure; any thread.
// Read next: daemon/battery/forecast.h, policy.h.
#pragma once

#include "daemon/battery/reserve_capacity.h"
#include "daemon/grading/decision.h"

namespace leadwright {

/// Minutes that the battery is measured against, at the rating's reference temperature.
struct EarlyCriterion {
  Second minutes;
  Second u;  ///< zero for a rating on the label
};

/// The two ends of what a policy asks, in time at 25 A of this discharge, at its temperature.
struct EarlyLimits {
  Second reached;  ///< the highest limit and its guard band: nothing better can come of going on
  Second missed;   ///< the lowest limit less its guard band: an end before it is a failing grade
};

/// Where the measured minutes would conform to share_highest, and where they would not to share_lowest, with
/// the budget that they will have. `at` and `meters` are those of the discharge that runs.
struct EarlyQuestion {
  EarlyCriterion criterion;
  double share_highest = 1.0;
  double share_lowest = 0.6;
  double guard_factor = 1.645;
  AtReference at;
  MeterAccuracy meters;
};
EarlyLimits early_limits(const EarlyQuestion& question, const EstimatorSettings& settings);

/// What a stopped discharge may decide afterwards, by JCGM 106 as decide() does. A lower bound can conform
/// and never fail; a forecast (reserve_capacity_ref_forecast, whose u holds the margin) can fail and never
/// conform.
Decision decide_at_least(const Measured& at_least, double lower_limit, double guard_factor);
Decision decide_by_forecast(const Measured& forecast, double lower_limit, double guard_factor);

}  // namespace leadwright
