// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/early.h"

#include <cmath>

#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

// P: near the end of a discharge at 25 A a starter battery falls by some 20 mV a minute; the end voltage
// weighs little in the budget, and less where it falls faster.
constexpr VoltPerSecond usual_end_slope{-0.020 / 60.0};
constexpr Volt usual_cutoff{10.5};
constexpr Second usual_u_time{1.0};

/// Relative standard uncertainty of minutes at reference temperature around `expected`.
double relative_u(const EarlyQuestion& question, const EstimatorSettings& settings, Second expected) {
  const MeasuredMinutes measured{expected,
                                 reserve_capacity_current,
                                 u_of(reserve_capacity_current, question.meters),
                                 u_of(usual_cutoff, question.meters),
                                 usual_end_slope,
                                 usual_u_time};
  const double u = combined(budget_of(measured, question.at, settings));
  return u / as_minutes(at_reference(measured, question.at, settings));
}

double factor_to_reference(const EarlyQuestion& question, const EstimatorSettings& settings) {
  const MeasuredMinutes one{minutes(1.0), reserve_capacity_current, {}, {}, usual_end_slope, {}};
  return as_minutes(at_reference(one, question.at, settings));
}

/// Measured minutes at which value -+ guard meets share x criterion; sign +1 to conform, -1 not to.
Second limit_of(const EarlyQuestion& question, const EstimatorSettings& settings, double share, double sign) {
  const double factor = factor_to_reference(question, settings);
  const Second limit = question.criterion.minutes * share;
  Second measured = limit / factor;
  // The guard band grows with the value: a few rounds settle it to a hundredth of a second.
  for (int i = 0; i < 8; ++i) {
    const double own = relative_u(question, settings, measured) * measured.si() * factor;
    const double u = std::hypot(own, share * question.criterion.u.si());
    measured = (limit + Second(sign * question.guard_factor * u)) / factor;
  }
  return measured;
}

}  // namespace

EarlyLimits early_limits(const EarlyQuestion& question, const EstimatorSettings& settings) {
  return {limit_of(question, settings, question.share_highest, 1.0),
          limit_of(question, settings, question.share_lowest, -1.0)};
}

Decision decide_at_least(const Measured& at_least, double lower_limit, double guard_factor) {
  Decision decision = decide(at_least, lower_limit, guard_factor);
  if (decision.outcome == Conformance::does_not_conform) decision.outcome = Conformance::undecided;
  return decision;
}

Decision decide_by_forecast(const Measured& forecast, double lower_limit, double guard_factor) {
  Decision decision = decide(forecast, lower_limit, guard_factor);
  if (decision.outcome == Conformance::conforms) decision.outcome = Conformance::undecided;
  return decision;
}

}  // namespace leadwright
