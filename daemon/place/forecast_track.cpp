// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/forecast_track.h"

#include <utility>

#include "daemon/battery/reserve_capacity.h"

namespace leadwright {

namespace {

constexpr double stray_max = 0.02;

}  // namespace

std::optional<ForecastSubject> forecast_subject(const Nameplate& nameplate, const std::vector<Finding>& found,
                                                const std::optional<DesignCurve>& design) {
  ForecastSubject subject;
  if (nameplate.reserve_capacity) {
    subject.nominal = nameplate.reserve_capacity->value;
  } else if (nameplate.c20) {
    subject.nominal = reserve_capacity_from_c20(nameplate.c20->value);
  }
  if (subject.nominal.si() <= 0.0 || nameplate.cells <= 0) return {};
  subject.cells = nameplate.cells;
  subject.cell_cutoff = reserve_capacity_cell_cutoff;
  subject.curve = design;
  Utc newest;
  for (const Finding& finding : found) {
    if (finding.measurand != Measurand::reserve_capacity || finding.value <= 0.0 || finding.at < newest)
      continue;
    newest = finding.at;
    subject.earlier = minutes(finding.value);
  }
  return subject;
}

ForecastTrack::ForecastTrack(std::optional<ForecastSubject> subject, ForecastSettings settings)
    : subject_(std::move(subject)), settings_(settings) {}

std::optional<Forecast> ForecastTrack::of(const Trace& trace) {
  if (!subject_ || trace.steps.empty()) return {};
  if (step_ != trace.steps.size()) {
    step_ = trace.steps.size();
    next_ = trace.steps.back().first;
    full_from_.reset();
    forecast_.reset();
    answer_.reset();
    strayed_ = false;
  }
  for (; next_ < trace.samples.size(); ++next_) take(trace.samples[next_]);
  if (strayed_ || !forecast_) return {};
  if (!answer_ || last_ - answered_at_ >= renewed_every) {
    answer_ = forecast_->now();
    answered_at_ = last_;
  }
  return answer_;
}

void ForecastTrack::take(const Sample& sample) {
  if (!sample.amps || !sample.volts || strayed_) return;
  const Ampere off = abs(*sample.amps - reserve_capacity_current);
  const bool is_full = off <= reserve_capacity_current * stray_max;
  if (!full_from_) {
    if (!is_full) return;
    full_from_ = sample.at;
    forecast_.emplace(*subject_, settings_);
  }
  if (!is_full) {
    strayed_ = true;
    return;
  }
  last_ = sample.at;
  forecast_->add(sample.at - *full_from_, *sample.volts);
}

}  // namespace leadwright
