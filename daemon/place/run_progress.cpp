// SPDX-License-Identifier: Apache-2.0
// How long a run is expected to take, for people planning their day. Decides nothing.
#include <algorithm>

#include "daemon/place/run.h"

namespace leadwright {

namespace {

/// Somebody who is there looks and answers (common practice, no source).
constexpr Second answered_after{120.0};

double evaluated(const std::optional<Expression>& expression, const Values& values) {
  return expression ? expression->evaluate(values).value_or(0.0) : 0.0;
}

}  // namespace

std::optional<Second> expected_length(const Step& step, const Values& values) {
  const double at_most_s = evaluated(step.at_most, values);
  if (at_most_s <= 0.0) return std::nullopt;
  if (step.kind == StepKind::ask) return std::min(Second(at_most_s), answered_after);
  const double amps = evaluated(step.amps, values);
  const double capacity = values.get(Name::capacity).value_or(0.0);
  if (step.kind == StepKind::draw && amps > 0.0) {
    const double rated_s = values.get(Name::reserve_capacity).value_or(0.0);
    // Without a rating: 85 % of the capacity comes out at this rate (common practice, no source).
    const double whole_s = rated_s > 0.0 ? rated_s * 25.0 / amps : 0.85 * capacity / amps;
    return Second(std::min(at_most_s, whole_s));
  }
  if (step.pulse) return (step.pulse->width + step.pulse->pause) * step.pulse->count;
  // A charge takes its bulk at the current limit and about half of that again to taper; a rest that waits for
  // stability about a quarter of its limit (both common practice, no source).
  if (step.kind == StepKind::charge && amps > 0.0) return Second(std::min(at_most_s, 1.5 * capacity / amps));
  return Second(step.until.empty() ? at_most_s : at_most_s / 4.0);
}

RunProgress RunExecution::progress() const {
  RunProgress progress;
  const auto& steps = order_.procedure->steps;
  const std::size_t index = std::min(step_, steps.size() - 1);
  const Step& step = steps[index];
  progress.step = step.name;
  progress.what = step.what;
  if (!recorder_) {
    if (std::string line = instruments_.waits_in_line(); !line.empty()) progress.what = std::move(line);
    return progress;
  }
  if (pause_) {
    progress.what = "Stands still, everything off: " + pause_->text();
    progress.paused = pause_;
  }
  progress.elapsed = recorder_->elapsed();
  if (step.kind == StepKind::draw) progress.forecast = forecast_.of(recorder_->trace());
  const Second in_step = clocks_.bench.now() - step_started_;
  Second left{0.0};
  for (std::size_t later = index; later < steps.size(); ++later) {
    left += expected_length(steps[later], values_).value_or(Second(0.0));
  }
  if (progress.forecast) {
    const Second by_forecast = in_step + progress.forecast->whole.likely - progress.forecast->seen;
    left += by_forecast - expected_length(step, values_).value_or(Second(0.0));
  }
  if (left > in_step) progress.left = left - in_step;
  progress.cutoff = end_of(step);
  return progress;
}

std::optional<Volt> RunExecution::end_of(const Step& step) const {
  const double volts = evaluated(step.ends_at ? step.ends_at : step.cutoff, values_);
  return volts > 0.0 ? std::optional(Volt(volts)) : std::nullopt;
}

void RunExecution::note_end_of(const Step& step) {
  if (const auto volts = end_of(step)) result_.run.ends_at = volts;
}

}  // namespace leadwright
