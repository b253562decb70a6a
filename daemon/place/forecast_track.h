// SPDX-License-Identifier: Apache-2.0
// Follows the trace of a run and forecasts the end of its draw at 25 A. Owned by the run. Thread: control. It
// reads only the samples that are new since it was last asked, so a forecast that nobody asks for costs
// nothing.
#pragma once

#include <optional>
#include <vector>

#include "daemon/battery/forecast.h"
#include "daemon/battery/ticket.h"

namespace leadwright {

/// What a forecast of this battery starts from; missing if the label states neither reserve capacity nor C20.
std::optional<ForecastSubject> forecast_subject(const Nameplate& nameplate, const std::vector<Finding>& found,
                                                const std::optional<DesignCurve>& design);

class ForecastTrack {
 public:
  ForecastTrack() = default;
  ForecastTrack(std::optional<ForecastSubject> subject, ForecastSettings settings);

  /// Renewed when the trace has a sample that is this much newer.
  static constexpr Second renewed_every{1.0};

  /// Of the trace's last step; missing before its full current of 25 A flows, and for the rest of a step
  /// whose current strayed by more than 2 %: those minutes would not be minutes at 25 A.
  std::optional<Forecast> of(const Trace& trace);

  /// Of the subject; zero without one.
  Second nominal() const { return subject_ ? subject_->nominal : Second(0.0); }

 private:
  void take(const Sample& sample);

  std::optional<ForecastSubject> subject_;
  ForecastSettings settings_;
  std::size_t step_ = 0;  ///< number of steps in the trace when this draw began
  std::size_t next_ = 0;  ///< index of the first sample not yet read
  std::optional<Second> full_from_;
  bool strayed_ = false;
  std::optional<DischargeForecast> forecast_;
  std::optional<Forecast> answer_;
  Second answered_at_;
  Second last_;
};

}  // namespace leadwright
