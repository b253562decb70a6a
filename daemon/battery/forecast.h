// SPDX-License-Identifier: Apache-2.0
// Forecast of a discharge at 25 A: the minutes to the cut-off as an interval, with what it rests on. For
// people planning their day, for triage and for an early "does not reach"; never shown as a measurement.
// Pure; a sample costs a few operations, an answer a tenth of a millisecond, nothing grows. Any thread.
//
// Two intervals are told apart. `alike` holds if nothing ends it early: then the design's curve says within
// some per cent when the battery ends. One weak cell among six, or plates short of active material, end a
// discharge without a warning, however long one watches the plateau; `whole` counts that in by the share of
// returns that have it, less what survival has ruled out so far, and turns to it when the voltage leaves the
// plateau. Read next: forecast_interval.h, curve_fit.h, plateau_watch.h, daemon/grading/early.h (what it may
// decide).
#pragma once

#include <optional>
#include <string>

#include "daemon/battery/curve_fit.h"
#include "daemon/battery/forecast_settings.h"
#include "daemon/battery/plateau_watch.h"

namespace leadwright {

enum class ForecastMethod {
  /// From the nameplate or an earlier finding, and that it still goes on. The bench has learnt no curve of
  /// this design, or has seen too little yet. Another design's curve would be worse (DEVELOPERS.md,
  /// Measured).
  label,
  design_curve,  ///< laid upon the curve that the bench has learnt of this design
};
const char* word(ForecastMethod method);

struct ForecastSubject {
  int cells = 6;
  Volt cell_cutoff{1.75};
  Second nominal;                    ///< rated minutes, or derived from C20; more than zero
  std::optional<Second> earlier;     ///< found in an earlier complete discharge
  std::optional<DesignCurve> curve;  ///< learnt; missing if the bench knows none
};

/// Where 90 of 100 discharges end, in time since full current.
struct EndInterval {
  Second earliest;
  Second likely;
  Second latest;
};

struct Forecast {
  ForecastMethod method = ForecastMethod::label;
  EndInterval whole;
  EndInterval alike;
  double unwarned = 0.0;        ///< probability that something ends it early, after what has been seen
  double weak_cell = 0.0;       ///< of that, one weak cell
  bool leaves_plateau = false;  ///< the sign that it has begun
  Second seen;                  ///< time at full current that it rests on
  int batteries = 0;            ///< behind the design's curve
  CurveFit fit;                 ///< not of method label
};
/// "91 min (58 to 94), by the curve of 7 batteries of its design after 12 min"
std::string text(const Forecast& forecast);

/// C: in half-widths of the forecast's interval. With 2 no "does not reach" was wrong on the halves to tune
/// on, but 3 of 500 other simulated batteries, which had not been full, were; hence 3, tried on yet others.
/// The table is in DEVELOPERS.md, Measured.
constexpr double early_margin = 3.0;
/// P: of the nominal minutes, before which no forecast decides.
constexpr double early_share_least = 0.10;

/// The latest end that an early decision believes: the forecast's, with the margin; missing where no forecast
/// may decide. `nominal` is the subject's.
std::optional<Second> end_at_most(const Forecast& forecast, Second nominal);

class DischargeForecast {
 public:
  DischargeForecast(ForecastSubject subject, ForecastSettings settings);

  /// A sample at full current, `at` since full current, rising; of the whole battery.
  void add(Second at, Volt volts);
  Forecast now() const;

 private:
  Forecast by_label() const;
  FitPrior prior() const;

  ForecastSubject subject_;
  ForecastSettings settings_;
  DischargeBins seen_;
  PlateauWatch plateau_;
  Second last_;
};

}  // namespace leadwright
