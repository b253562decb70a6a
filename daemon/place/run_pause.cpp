// SPDX-License-Identifier: Apache-2.0
// A run that stands still while a person sees to something, and what a trip says of its samples.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/place/run.h"

namespace leadwright {

namespace {
constexpr Second pause_sample_period{10.0};
constexpr Second samples_of_trip{60.0};
}  // namespace

Result<void> RunExecution::pause(const Sentence& reason) {
  if (!recorder_ || halted() || step_ >= order_.procedure->steps.size()) {
    return fail(Errc::conflict, "no step is going on", order_.run.place, "try again in a moment, or stop it");
  }
  if (pause_) return fail(Errc::conflict, "it stands still already", order_.run.place);
  const Step& step = order_.procedure->steps[step_];
  if (step.kind == StepKind::ask) {
    return fail(Errc::conflict, "it asks, and nothing is on", order_.run.place, "answer, or stop the run");
  }
  if (draws(step.kind)) {
    return fail(Errc::conflict,
                fmt::format("\"{}\" draws current: what a draw gives is only worth something in one piece",
                            step.name),
                order_.run.place, "let it end, or stop the run");
  }
  pause_ = reason;
  wake_.notify();
  return {};
}

Result<void> RunExecution::resume() {
  if (!pause_) return fail(Errc::conflict, "it does not stand still", order_.run.place);
  pause_.reset();
  wake_.notify();
  return {};
}

Task<void> RunExecution::pause_in(const Step& step) {
  co_await stand_still();
  if (halted() || step.kind != StepKind::charge) co_return;
  const Result<void> begun = co_await begin_charge(step);
  if (begun) co_return;
  instruments_.blame(begun.error());
  halt(RunOutcome::stopped, in_own_words(begun.error().line()));
}

Task<void> RunExecution::stand_still() {
  const Instant began = clocks_.bench.now();
  stands_since_ = began;
  co_await de_energise();
  recorder_->flush();
  while (!halted() && pause_) {
    co_await take_sample();
    if (!halted() && pause_) co_await wake_.wait_until(clocks_.bench.now() + pause_sample_period);
  }
  stands_since_.reset();
  const Second stood = clocks_.bench.now() - began;
  step_started_ = step_started_ + stood;
  for (std::optional<Instant>& since : held_since_) {
    if (since) since = *since + stood;
  }
}

Sentence RunExecution::with_samples(const Sentence& reason) const {
  if (!recorder_ || !halted_at_) return reason;
  const Second halted = *halted_at_ - recorder_->started();
  Sentence told = reason;
  return told.say("trip_samples", " ({run}, {from} to {to} of its trace)",
                  {said_words("run", shown(order_.run.id)),
                   said_amount("from", std::max(Second(0.0), halted - samples_of_trip).si(), 0, "s"),
                   said_amount("to", halted.si(), 0, "s")});
}

}  // namespace leadwright
