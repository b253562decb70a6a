// SPDX-License-Identifier: Apache-2.0
// Sampling within a run: one reading at a time, the envelope first, then the watches, then the procedure's
// own conditions.
#include <algorithm>
#include <cmath>
#include <span>

#include "daemon/battery/trace_reading.h"
#include "daemon/place/run.h"

namespace leadwright {

namespace {

/// Below this share of its setting a load counts as off by its own protection.
constexpr double share_off_max = 0.1;
/// A draw that pulls the battery below this share of its resting voltage while ramping has collapsed
/// (common practice, no source). Below it while charging it is the meter that is wrong: what flows in lifts
/// the voltage.
constexpr double share_collapsed = 0.75;

}  // namespace

void RunExecution::arm_stale() {
  Instrument* instrument = active();
  const Instant at = good_at_ + instruments_.stale_after(*instrument);
  stale_timer_.set(at, [this] { halt_stale(); });
}

void RunExecution::halt_stale() {
  halt(RunOutcome::tripped, say("no_good_reading", "no good reading for {time} while energised",
                                {said_amount("time", (clocks_.bench.now() - good_at_).si(), 1, "s")}));
}

void RunExecution::suspect_joint(Collapse collapse) {
  Sentence reason = collapse.what;
  halt(RunOutcome::stopped,
       reason.say("clamps_then_joint", ": check the clamps first, then suspect an open joint inside"));
  result_.collapse = std::move(collapse);
}

void RunExecution::protect(const Sample& sample) {
  if (ramp_amps_ && sample.volts && result_.last_volts &&
      *sample.volts < *result_.last_volts * share_collapsed) {
    suspect_joint(
        {say("collapsed", "the voltage collapsed from {from} to {to} at {amps}",
             {said_amount("from", result_.last_volts->si(), 2, "V"),
              said_amount("to", sample.volts->si(), 2, "V"), said_amount("amps", ramp_amps_->si(), 0, "A")}),
         *ramp_amps_, *sample.volts});
    return;
  }
  const Coulomb moved = most_moved();
  if (const auto reason = breach(envelope_, sample, energy_, moved)) {
    halt(RunOutcome::tripped, *reason);
    return;
  }
  if (energy_ == Energy::none) return;
  if (!sample.volts || !sample.amps) return;
  if (energy_ == Energy::charge && result_.last_volts &&
      *sample.volts < *result_.last_volts * share_collapsed) {
    halt(RunOutcome::tripped,
         say("charger_reads_low",
             "{volts} while charging a battery that rested at {rested}: check the range and the sense leads "
             "of the charger",
             {said_amount("volts", sample.volts->si(), 2, "V"),
              said_amount("rested", result_.last_volts->si(), 2, "V")}));
    return;
  }
  if (order_.procedure->needs_thermometer && !sample.temperature) {
    halt(RunOutcome::tripped, say("thermometer_silent", "the thermometer gives no reading"));
    return;
  }
  if (const auto reason = follow_.check(clocks_.bench.now(), abs(*sample.amps))) {
    halt(RunOutcome::tripped, *reason);
    return;
  }
  if (frozen_.frozen(sample.volts, sample.amps))
    halt(RunOutcome::tripped, say("readings_frozen", "the readings are frozen"));
  if (!halted() && !ramp_amps_) heed(watches_.check(sample, energy_));
}

bool RunExecution::is_off_by_itself(Ampere set) const {
  const std::optional<Ampere>& amps = recorder_->trace().samples.back().amps;
  return amps && *amps < set * share_off_max;
}

void RunExecution::heed(std::optional<WatchAlarm> alarm) {
  if (alarm && alarm->trips) halt(RunOutcome::tripped, alarm->sentence);
  if (alarm && !alarm->trips) suspicion_ = std::move(alarm);
}

Task<void> RunExecution::blame_clamp() {
  recheck_due_ = clocks_.bench.now();
  co_await recheck();
  if (!halted()) halt(RunOutcome::stopped, suspicion_->sentence);
}

Task<Result<Sample>> RunExecution::sample_twice_if_it_strays() {
  Result<Sample> sample = co_await instruments_.sample(energy_, recorder_->started());
  if (halted() || energy_ == Energy::none || !sample || !sample->amps) co_return sample;
  const bool strays = !follow_.follows(clocks_.bench.now(), abs(*sample->amps));
  if (!strays || breach(envelope_, *sample, energy_, most_moved())) co_return sample;
  Result<Sample> again = co_await instruments_.sample(energy_, recorder_->started());
  co_return again ? again : sample;
}

Task<bool> RunExecution::take_sample() {
  Result<Sample> sample = co_await sample_twice_if_it_strays();
  if (halted()) co_return false;
  // A machine that slept may hear the reply before its timers fire: the reading came too late all the same.
  if (energy_ != Energy::none && clocks_.bench.now() - good_at_ > instruments_.stale_after(*active())) {
    halt_stale();
    co_return false;
  }
  if (!sample) {
    // Nobody opens the link again before the run has ended.
    if (energy_ != Energy::none && sample.error().code == Errc::link_lost) {
      halt(RunOutcome::tripped, in_own_words(sample.error().line()));
    }
    // The deadman decides how long readings may be missing; until then the next one may be good.
    if (energy_ == Energy::none && clocks_.bench.now() - good_at_ > hours(1.0)) {
      halt(RunOutcome::stopped, in_own_words(sample.error().line()));
    }
    co_return false;
  }
  const bool good = sample->volts && sample->amps;
  if (good) good_at_ = recorder_->started() + sample->at;
  protect(*sample);
  recorder_->add(*sample);
  // What tripped it is kept now, whatever becomes of this process.
  if (halted()) recorder_->flush();
  if (energy_ != Energy::none && good && !halted()) {
    arm_stale();
    // A feed that is lost shows as an instrument that switches off by itself, which the watch over the
    // current trips on.
    if (active()->profile().heartbeat) co_await active()->feed_heartbeat();
    if (halted()) co_return false;
  }
  if (energy_ == Energy::none && sample->volts) result_.last_volts = sample->volts;
  if (suspicion_ && !halted()) co_await blame_clamp();
  co_return true;
}

std::optional<std::string> RunExecution::ended_by(const Step& step) {
  const Instant now = clocks_.bench.now();
  std::size_t slot = 0;
  // What may have gone in unmeasured stops a run, and never proves anything: an end holds with it and
  // without.
  const bool in_doubt = unmeasured_ > Coulomb(0.0);
  const std::optional<Values> at_most = in_doubt ? std::optional(values_at_most()) : std::nullopt;
  const auto holds = [&](const Condition& condition, bool stops) {
    std::optional<Instant>& since = held_since_[slot++];
    const bool holds_now = condition.when.holds(values_);
    const bool holds_then = at_most ? condition.when.holds(*at_most) : holds_now;
    if (stops ? !(holds_now || holds_then) : !(holds_now && holds_then)) {
      since.reset();
      return false;
    }
    if (!since) since = now;
    return now - *since >= condition.hold;
  };
  for (const Condition& condition : step.abort) {
    const bool is_answered = condition.asks_for_clamps && order_.clamps_reseated;
    if (!holds(condition, true) || is_answered) continue;
    stop_by(condition);
    return condition.name;
  }
  for (const Condition& condition : step.until) {
    // One reading never ends a step well: a line may flip a digit, and the next reading then says otherwise.
    const bool held_before = held_since_[slot].has_value();
    if (holds(condition, false) && held_before) return condition.name;
  }
  return std::nullopt;
}

void RunExecution::stop_by(const Condition& condition) {
  halt(RunOutcome::stopped, in_own_words(condition.name));
  if (condition.asks_for_clamps) result_.clamps_suspected = condition.name;
}

bool RunExecution::ended_by_clamps(const Step& step) {
  for (std::size_t slot = 0; slot < step.abort.size() && slot < held_since_.size(); ++slot) {
    const bool is_asked = step.abort[slot].asks_for_clamps && !order_.clamps_reseated;
    if (is_asked && held_since_[slot]) stop_by(step.abort[slot]);
  }
  return halted();
}

bool RunExecution::is_stable(const Step& step) const {
  if (!step.stable) return false;
  const Trace& trace = recorder_->trace();
  const std::span<const Sample> samples = samples_of(trace, trace.steps.back());
  if (samples.empty() || samples.back().at - samples.front().at < step.stable->span) return false;
  const Second oldest = samples.back().at - step.stable->span;
  std::optional<Volt> lowest;
  std::optional<Volt> highest;
  for (auto sample = samples.rbegin(); sample != samples.rend() && sample->at >= oldest; ++sample) {
    if (!sample->volts) continue;
    lowest = std::min(lowest.value_or(*sample->volts), *sample->volts);
    highest = std::max(highest.value_or(*sample->volts), *sample->volts);
  }
  return lowest && *highest - *lowest <= step.stable->within;
}

std::optional<Second> RunExecution::time_limit(const Step& step) {
  const Result<double> at_most = value(*step.at_most);
  if (at_most) return Second(*at_most);
  halt(RunOutcome::stopped, in_own_words(at_most.error().line()));
  return std::nullopt;
}

Second RunExecution::sampling_period(const Step& step) const {
  const Second every = std::max(step.every, instruments_.period_min());
  return energy_ == Energy::none ? every : std::min(every, instruments_.stale_after(*active()) / 3.0);
}

Task<void> RunExecution::sample_step(const Step& step) {
  const std::optional<Second> at_most = time_limit(step);
  if (!at_most) co_return;
  const Second every = sampling_period(step);
  Instant next = clocks_.bench.now();
  while (!halted()) {
    if (pause_) co_await pause_in(step);
    const Instant limit = step_started_ + *at_most;
    const bool taken = co_await take_sample();
    if (halted()) co_return;
    if (taken) {
      const Sample& sample = recorder_->trace().samples.back();
      update_values(step, sample);
      const Ampere set = energy_ == Energy::draw ? set_amps_ : Ampere(0.0);
      if (is_off_by_itself(set)) {
        const bool cut_off = energy_ == Energy::draw && co_await cut_off_by_instrument();
        if (cut_off) {
          if (ended_by_clamps(step)) co_return;
          doubt_cut_off(step, set);
          if (!halted()) recorder_->end_step("instrument cut-off");
          co_return;
        }
      }
      if (const auto end = ended_by(step)) {
        if (!halted()) recorder_->end_step(*end);
        co_return;
      }
      if (is_stable(step)) {
        recorder_->end_step("stable");
        co_return;
      }
      co_await regulate(step);
      if (halted()) co_return;
    }
    if (clocks_.bench.now() >= limit) {
      if (step.time_limit_is_failure) {
        halt(RunOutcome::stopped, say("step_took_too_long", "{step} did not end within its time limit",
                                      {said_words("step", step.name)}));
      }
      recorder_->end_step("time");
      co_return;
    }
    co_await recheck();
    next = std::max(next + every, clocks_.bench.now());
    if (!halted()) co_await wake_.wait_until(std::min(next, limit));
  }
}

Task<void> RunExecution::recheck() {
  if (energy_ == Energy::none || clocks_.bench.now() < recheck_due_) co_return;
  Instrument& instrument = *active();
  const Second period = std::max(instrument.profile().recheck, Second(clocks_.bench.scale()));
  recheck_due_ = clocks_.bench.now() + period;
  const Result<bool> cycled = co_await instrument.power_was_cycled();
  if (cycled && *cycled) {
    halt(RunOutcome::tripped,
         say("instrument_restarted", "{instrument} was restarted: its limits are at power-up values",
             {said_words("instrument", instrument.name())}));
  }
  if (halted()) co_return;
  const Result<void> same = co_await instrument.check_identity();
  if (!same && same.error().code == Errc::conflict)
    halt(RunOutcome::tripped, in_own_words(same.error().line()));
  if (halted()) co_return;
  // Some come back from a power cut on as they were, without the heartbeat, and have no word to say so.
  const Result<void> armed = co_await instrument.check_heartbeat();
  if (!armed && armed.error().code == Errc::not_verified)
    halt(RunOutcome::tripped, in_own_words(armed.error().line()));
  if (!halted() && energy_ == Energy::draw) co_await compare_meters();
}

Task<void> RunExecution::compare_meters() {
  if (!instruments_.has_second_meter()) co_return;
  const Result<Sample> other = co_await instruments_.sample(Energy::charge, recorder_->started());
  const std::vector<Sample>& samples = recorder_->trace().samples;
  if (halted() || !other || !other->volts || samples.empty()) co_return;
  heed(watches_.check_senses(samples.back(), *other->volts));
}

}  // namespace leadwright
