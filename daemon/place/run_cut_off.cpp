// SPDX-License-Identifier: Apache-2.0
// A load that cut off by itself: whose doing it was. A clamp is blamed before the battery, the battery before
// the instrument.
#include <algorithm>
#include <span>

#include "daemon/battery/trace_reading.h"
#include "daemon/place/run.h"

namespace leadwright {

namespace {

constexpr double share_loaded_min = 0.9;
/// A weak cell takes up to about 1 V a few seconds before it reverses; a lost clamp takes everything at once
/// (common practice, no source).
constexpr Volt cut_off_step_max{0.5};
constexpr VoltPerSecond cut_off_fall_max{0.2};

}  // namespace

Task<bool> RunExecution::cut_off_by_instrument() {
  if (!instruments_.load()->profile().has(Capability::faults)) co_return false;
  const Result<std::string> faults = co_await instruments_.load()->faults();
  co_return faults && faults->find("cut-off") != std::string::npos;
}

void RunExecution::doubt_cut_off(const Step& step, Ampere set) {
  const std::span<const Sample> samples = samples_of(recorder_->trace(), recorder_->trace().steps.back());
  const auto loaded = std::find_if(samples.rbegin(), samples.rend(), [set](const Sample& sample) {
    return sample.volts && sample.amps && *sample.amps > set * share_loaded_min;
  });
  const auto cutoff = step.cutoff ? step.cutoff->evaluate(values_) : std::nullopt;
  if (!cutoff) {
    return halt(RunOutcome::stopped,
                say("cut_off_unset", "the load cut off though no cut-off was set: check the load"));
  }
  if (loaded == samples.rend()) {
    return suspect_joint({say("cut_off_before", "the load cut off at {volts} before it drew {amps}",
                              {said_amount("volts", *cutoff, 2, "V"), said_amount("amps", set.si(), 0, "A")}),
                          set, Volt(*cutoff)});
  }
  const Volt allowed = cut_off_step_max + cut_off_fall_max * (samples.back().at - loaded->at);
  if (*loaded->volts - Volt(*cutoff) <= allowed) return;
  halt(RunOutcome::stopped,
       say("cut_off_at_once",
           "the load cut off at once from {volts}: check the clamps, a battery does not fall so fast",
           {said_amount("volts", loaded->volts->si(), 2, "V")}));
}

void RunExecution::blame_cut_off(const Step& step, Ampere stage) {
  const auto cutoff = step.cutoff ? step.cutoff->evaluate(values_) : std::nullopt;
  const std::optional<Volt>& rested = result_.last_volts;
  if (cutoff && rested && *rested - Volt(*cutoff) <= cut_off_step_max) {
    halt(
        RunOutcome::stopped,
        say("cut_off_when_flat",
            "the load cut off at {amps}: it rested at {rested}, hardly above the cut-off of {cut_off}: check "
            "the clamps, then charge it first",
            {said_amount("amps", stage.si(), 0, "A"), said_amount("rested", rested->si(), 2, "V"),
             said_amount("cut_off", *cutoff, 2, "V")}));
  } else {
    suspect_joint({say("cut_off_ramping", "the load cut off at {amps} of its ramp",
                       {said_amount("amps", stage.si(), 0, "A")}),
                   stage, Volt(cutoff.value_or(0.0))});
  }
}

Task<void> RunExecution::blame_ramp(const Step& step, Ampere stage, const Error& error) {
  if (halted()) co_return;
  const bool cut_off = co_await cut_off_by_instrument();
  if (halted()) co_return;
  if (cut_off) {
    blame_cut_off(step, stage);
  } else if (error.code == Errc::not_verified && step.cutoff &&
             !instruments_.load()->profile().has(Capability::faults)) {
    halt(RunOutcome::stopped,
         say("load_not_on",
             "the load did not stay on at {amps}: check the clamps first, an open joint lets it cut off at "
             "once; else: ",
             {said_amount("amps", stage.si(), 0, "A")})
             .add(in_own_words(error.line())));
  }
}

}  // namespace leadwright
