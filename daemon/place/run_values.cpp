// SPDX-License-Identifier: Apache-2.0
// What a step's expressions may know while it runs, from the samples so far.
#include <algorithm>

#include "daemon/battery/trace_reading.h"
#include "daemon/place/run.h"

namespace leadwright {

namespace {

constexpr Second slope_window{1800.0};
/// Fitted anew so often: it can't have changed by more than a two-hundredth of what it says.
constexpr double slope_age_share = 1.0 / 200.0;
constexpr Second amps_change_window{3600.0};
constexpr Second warming_window{600.0};

/// Sample of the current step nearest to `age` before the last one; null if the step is younger.
const Sample* sample_before(const Trace& trace, Second age) {
  const Trace::StepSpan& span = trace.steps.back();
  const Second at = trace.samples.back().at - age;
  const auto first = trace.samples.begin() + static_cast<std::ptrdiff_t>(span.first);
  if (first->at > at) return nullptr;
  const auto found = std::upper_bound(first, trace.samples.end(), at,
                                      [](Second when, const Sample& sample) { return when < sample.at; });
  return &*(found - 1);
}

/// Rise of the case temperature over the last ten minutes of the current step, K/s; missing if it is younger.
std::optional<double> warming_of(const Trace& trace) {
  const Sample* before = sample_before(trace, warming_window);
  const Sample& last = trace.samples.back();
  if (before == nullptr || !before->temperature || !last.temperature || last.at <= before->at) return {};
  return (*last.temperature - *before->temperature).si() / (last.at - before->at).si();
}

bool uses(const Step& step, Name name) {
  const auto any_uses = [name](const std::vector<Condition>& conditions) {
    return std::ranges::any_of(conditions, [name](const Condition& each) { return each.when.uses(name); });
  };
  return any_uses(step.until) || any_uses(step.abort);
}

}  // namespace

void RunExecution::update_values(const Step& step, const Sample& sample) {
  values_.set(Name::volts, sample.volts ? std::optional(sample.volts->si()) : std::nullopt);
  values_.set(Name::amps, sample.amps ? std::optional(abs(*sample.amps).si()) : std::nullopt);
  values_.set(Name::case_temperature,
              sample.temperature ? std::optional(sample.temperature->degc()) : std::nullopt);
  values_.set(Name::step_time, (clocks_.bench.now() - step_started_).si());
  values_.set(Name::run_time, recorder_->elapsed().si());
  const Coulomb moved = abs(recorder_->step_charge());
  values_.set(Name::step_charge, moved.si());
  if (sample.volts) {
    step_energy_ += *sample.volts * (moved - energy_counted_);
    energy_counted_ = moved;
  }
  values_.set(Name::step_energy, step_energy_.si());
  values_.set(Name::run_charge, recorder_->run_charge().si());
  const int cells = order_.battery.nameplate.cells;
  values_.set(Name::cell_volts,
              sample.volts && cells > 0 ? std::optional(sample.volts->si() / cells) : std::nullopt);
  values_.set(Name::warming, uses(step, Name::warming) ? warming_of(recorder_->trace()) : std::nullopt);
  values_.set(Name::forecast_end_max, std::nullopt);
  if (step.kind == StepKind::draw && uses(step, Name::forecast_end_max)) {
    const auto forecast = forecast_.of(recorder_->trace());
    const auto latest = forecast ? end_at_most(*forecast, forecast_.nominal()) : std::nullopt;
    if (latest) values_.set(Name::forecast_end_max, latest->si());
  }
  values_.set(Name::slope, std::nullopt);
  values_.set(Name::amps_change, std::nullopt);
  if (step.kind == StepKind::draw) return;
  const Trace& trace = recorder_->trace();
  if (uses(step, Name::slope)) {
    // A fit over the window, not two points: millivolts of noise would drown millivolts an hour.
    if (const Instant now = clocks_.bench.now(); now >= slope_due_) {
      slope_due_ = now + slope_window * slope_age_share;
      slope_ = last_slope(samples_of(trace, trace.steps.back()), slope_window);
    }
    if (slope_) values_.set(Name::slope, slope_->si());
  }
  if (!uses(step, Name::amps_change)) return;
  const Sample* hour_ago = sample_before(trace, amps_change_window);
  if (hour_ago != nullptr && hour_ago->amps && sample.amps && abs(*hour_ago->amps) > Ampere(0.05)) {
    const double share = 1.0 - abs(*sample.amps) / abs(*hour_ago->amps);
    values_.set(Name::amps_change, share / (sample.at - hour_ago->at).si());
  }
}

}  // namespace leadwright
