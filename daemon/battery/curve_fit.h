// SPDX-License-Identifier: Apache-2.0
// Lays a discharge so far upon an as-new curve: stretched (it runs faster), lowered, and lowered more towards
// the end (more resistance, weaker acid), and shifted (it did not start full). Pure; no allocation; bounded
// work. Any thread.
//
// The samples of one trace are correlated and a worn battery's curve is not quite that of a new one: however
// many samples there are, they count as twenty independent ones that lie `misfit` off. So the scale u_end
// says which forecast is better than which; how wide an interval must be is calibrated on whole traces
// (forecast.h).
#pragma once

#include "daemon/battery/design_curve.h"
#include "daemon/battery/discharge_bins.h"

namespace leadwright {

/// What is believed of the four before the first sample: normal, with these standard deviations.
struct FitPrior {
  double log_rate = 0.2;  ///< of how many times as fast as the curve it runs
  double sd_log_rate = 0.5;
  double sd_start = 0.03;  ///< share of the curve that was gone at the start
  Volt lowered{0.008};     ///< a cell
  Volt sd_lowered{0.05};
  Volt misfit{0.010 / 6.0};    ///< a cell: how well the curve's shape is that of the battery
  Volt sd_lowered_more{0.02};  ///< a cell, over the whole curve: resistance grows as the acid is used
};

struct CurveFit {
  double rate = 1.0;
  double start = 0.0;
  Volt lowered;       ///< a cell
  Volt lowered_more;  ///< a cell, for the whole curve
  Second end;         ///< when the cut-off is met, since full current
  Second u_end;       ///< a scale, see above
};

/// The most probable fit. `seen` may be empty: the prior's centre.
CurveFit fit_curve(const DesignCurve& curve, const DischargeBins& seen, const FitPrior& prior,
                   Volt cell_cutoff);

/// Volts a cell that the fit expects at a time since full current.
Volt expected_at(const DesignCurve& curve, const CurveFit& fit, Second at);

}  // namespace leadwright
