// SPDX-License-Identifier: Apache-2.0
// Pulse trains, and draws that hold a power or a resistance: the current is set anew while it flows.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/place/reach.h"
#include "daemon/place/run.h"

namespace leadwright {

namespace {
/// A held power or resistance is set anew when its current is off by more than this: below it the follow
/// watch would be restarted for nothing (common practice, no source).
constexpr double share_of_change_min = 0.01;
constexpr Ampere change_min{0.05};
}  // namespace

Ampere RunExecution::regulated(const Step& step, Volt volts) const {
  const Ampere most(value(*step.amps_max).value_or(0.0));
  if (step.watts) {
    const Watt watts(value(*step.watts).value_or(0.0));
    return volts > Volt(0.0) ? std::min(most, watts / volts) : most;
  }
  const Ohm ohms(value(*step.ohms).value_or(0.0));
  return ohms > Ohm(0.0) ? std::min(most, volts / ohms) : most;
}

Result<Ampere> RunExecution::choose_draw(Step& step) {
  Result<double> amps = 0.0;
  for (const auto* needed : {&step.amps, &step.watts, &step.ohms, &step.amps_max}) {
    if (*needed) amps = value(**needed);
    if (!amps) return tl::unexpected<Error>(amps.error());
  }
  const Volt rested = result_.last_volts.value_or(Volt(0.0));
  const auto cutoff_of = [this](const Step& each) {
    const auto volts = each.cutoff ? each.cutoff->evaluate(values_) : std::nullopt;
    return volts ? std::optional(Volt(*volts)) : std::nullopt;
  };
  Ampere full = step.amps ? Ampere(value(*step.amps).value_or(0.0)) : regulated(step, rested);
  // What is held may rise as the voltage falls: the load must be able to do the most of it.
  const Ampere most = step.amps ? full : Ampere(value(*step.amps_max).value_or(0.0));
  const Profile& profile = instruments_.load()->profile();
  Result<void> able = can_draw(profile, most, rested, cutoff_of(step));
  if (!able && able.error().code == Errc::unsupported && step.instead) {
    estimated_[step.name] = step.instead->note;
    take_instead(step);
    const Result<double> instead = value(*step.amps);
    if (!instead) return tl::unexpected<Error>(instead.error());
    full = Ampere(*instead);
    able = can_draw(profile, full, rested, cutoff_of(step));
  }
  if (able && full > envelope_.amps_max) {
    able = fail(Errc::refused, fmt::format("{:.1f} A is above the envelope of this battery", full.si()),
                order_.procedure->file, "lower the current of the procedure");
  }
  if (!able) return tl::unexpected<Error>(able.error());
  return full;
}

Task<void> RunExecution::regulate(const Step& step) {
  if (energy_ != Energy::draw || (!step.watts && !step.ohms)) co_return;
  const Sample& last = recorder_->trace().samples.back();
  if (!last.volts) co_return;
  const Ampere wanted = std::min(regulated(step, *last.volts), envelope_.amps_max);
  if (abs(wanted - set_amps_) < std::max(change_min, set_amps_ * share_of_change_min)) co_return;
  const Result<void> set = co_await set_draw(wanted);
  if (!set && !halted()) halt(RunOutcome::stopped, in_own_words(set.error().line()));
}

Task<void> RunExecution::pulse(const Step& step) {
  const Result<double> base = value(step.pulse->base);
  if (!base) halt(RunOutcome::stopped, in_own_words(base.error().line()));
  const std::optional<Second> at_most = time_limit(step);
  if (!base || !at_most) co_return;
  const Ampere low(*base);
  const Ampere high = set_amps_;
  const Instant limit = step_started_ + *at_most;
  for (int done = 0; done < step.pulse->count && !halted(); ++done) {
    for (const auto& [amps, time] : {std::pair(low, step.pulse->pause), std::pair(high, step.pulse->width)}) {
      const Result<void> set = co_await set_draw(amps);
      if (!set && !halted()) halt(RunOutcome::stopped, in_own_words(set.error().line()));
      if (halted() || co_await sample_for(step, std::min(clocks_.bench.now() + time, limit))) co_return;
      if (clocks_.bench.now() >= limit) {
        recorder_->end_step("time");
        co_return;
      }
    }
  }
  if (!halted()) recorder_->end_step("every pulse was given");
}

Task<bool> RunExecution::sample_for(const Step& step, Instant until) {
  const Second every = sampling_period(step);
  while (!halted() && clocks_.bench.now() < until) {
    const bool taken = co_await take_sample();
    if (halted()) co_return true;
    if (taken) {
      update_values(step, recorder_->trace().samples.back());
      if (const auto end = ended_by(step)) {
        if (!halted()) recorder_->end_step(*end);
        co_return true;
      }
    }
    co_await recheck();
    if (!halted()) co_await wake_.wait_until(std::min(clocks_.bench.now() + every, until));
  }
  co_return halted();
}

}  // namespace leadwright
