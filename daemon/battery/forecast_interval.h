// SPDX-License-Identifier: Apache-2.0
// From a fit to an interval that holds nine times of ten, and the end without a warning counted in. Pure; any
// thread.
#pragma once

#include "daemon/battery/forecast.h"

namespace leadwright {

/// Of the two-sided intervals.
constexpr double forecast_level = 0.90;

/// How the scale of a fit must be stretched at this share of the nominal minutes.
struct ForecastStretch {
  double share;
  double earlier;  ///< half-width below, over the scale
  double later;    ///< half-width above
};

/// The scale of an answer: what the fit says, and never less than this share of the nominal minutes.
Second forecast_scale(Second u_end, Second nominal);

/// By the conformal table, straight between its rows.
ForecastStretch stretch_of(double share_seen);

/// Interval if nothing ends it early, from the fit alone.
EndInterval alike_interval(const Forecast& forecast, Second nominal);

/// Sets whole to what is left of alike after the time seen, and cuts alike there.
void count_survival_in(Forecast& forecast);

/// The same, and counts in what ends a discharge without a warning: sets unwarned and weak_cell too.
void count_unwarned_in(Forecast& forecast, const ForecastSettings& settings);

}  // namespace leadwright
