// SPDX-License-Identifier: Apache-2.0
// Steps of a run that switch nothing on: decide, state a fault, ask a person, keep a value.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"
#include "daemon/place/answer.h"
#include "daemon/place/run.h"

namespace leadwright {

namespace {
/// What a step keeps of a resting battery is a mean over this (common practice, no source).
constexpr Second kept_window{10.0};
}  // namespace

void RunExecution::enter_frame(const Step& step) {
  values_.enter(step.frame);
  envelope_ = envelopes_[step.frame];
}

void RunExecution::think(const Step& step) {
  if (step.branch) {
    decide(step);
    return;
  }
  if (step.when && !step.when->holds(values_)) return;
  if (step.fault) {
    state_fault(step);
  } else {
    compute(step);
  }
  if (step.ends) next_step_ = order_.procedure->steps.size();
}

void RunExecution::compute(const Step& step) {
  FindingRequest request;
  request.calculation = step.finding;
  request.trace = &recorder_->trace();
  request.of = step.of;
  request.nameplate = order_.battery.nameplate;
  const bool of_charge = std::ranges::any_of(order_.procedure->steps, [&step](const Step& other) {
    return other.kind == StepKind::charge && std::ranges::find(step.of, other.name) != step.of.end();
  });
  Volt volts_max{0.0};
  Ampere amps_max{0.0};
  for (const Sample& sample : recorder_->trace().samples) {
    volts_max = std::max(volts_max, sample.volts.value_or(volts_max));
    amps_max = std::max(amps_max, abs(sample.amps.value_or(amps_max)));
  }
  request.accuracy =
      widened(instruments_.accuracy(of_charge ? Energy::charge : Energy::none, volts_max, amps_max),
              order_.widen_meters_by);
  request.settings = order_.estimator;
  request.rested = order_.rested;
  request.design = order_.design ? &*order_.design : nullptr;
  Result<Findings> stated = state(request);
  if (!stated) {
    Sentence why = say("not_stated", "{finding} can't be stated: ", {said_words("finding", step.finding)});
    halt(RunOutcome::stopped, why.add(in_own_words(stated.error().line())));
    return;
  }
  for (Finding& finding : stated->findings) {
    for (const std::string& name : step.of) {
      const auto note = estimated_.find(name);
      if (note != estimated_.end()) finding.method = fmt::format("{}; {}", note->second, finding.method);
    }
    mark_resumed(finding);
    if (order_.widen_meters_by > 1.0) {
      finding.conditions += fmt::format("; calibration overdue, limits of the meters times {}",
                                        fixed(order_.widen_meters_by, 1));
    }
    finding.ticket = order_.run.ticket;
    finding.run = order_.run.id;
    finding.at = clocks_.bench.utc();
    result_.findings.push_back(std::move(finding));
  }
  for (Fault& fault : stated->faults) {
    fault.ticket = order_.run.ticket;
    fault.run = order_.run.id;
    fault.at = clocks_.bench.utc();
    result_.faults.push_back(std::move(fault));
  }
}

void RunExecution::decide(const Step& step) {
  const std::size_t to = step.branch->when.holds(values_) ? step.branch->then : step.branch->otherwise;
  const bool is_back = to <= step_;
  if (is_back && backs_[step_] >= step.branch->times_max) return;
  if (is_back) ++backs_[step_];
  next_step_ = to;
}

void RunExecution::state_fault(const Step& step) {
  result_.faults.push_back({order_.run.ticket, order_.run.id, step.fault->kind,
                            fmt::format("{} ({})", step.fault->evidence, order_.procedure->name),
                            clocks_.bench.utc()});
}

void RunExecution::keep(const Step& step) {
  if (step.keeps.empty() || recorder_->trace().samples.empty()) return;
  const Trace& trace = recorder_->trace();
  update_values(step, trace.samples.back());
  if (!energises(step.kind)) {
    const auto mean = last_volts(samples_of(trace, trace.steps.back()), kept_window);
    values_.set(Name::volts, mean ? std::optional(mean->mean.si()) : std::nullopt);
  }
  for (const Keep& each : step.keeps) values_.set_own(each.slot, each.value.evaluate(values_));
}

Task<void> RunExecution::ask(const Step& step) {
  const std::optional<Second> at_most = time_limit(step);
  if (!at_most) co_return;
  const Instant limit = step_started_ + *at_most;
  question_ = &*step.question;
  answer_.reset();
  if (on_question)
    on_question(Ask{AskOf::question, question_text(*step.question), {}, step.question->takes_photo});
  while (!halted() && !answer_ && clocks_.bench.now() < limit) {
    co_await take_sample();
    if (halted() || answer_) break;
    co_await wake_.wait_until(std::min(clocks_.bench.now() + step.every, limit));
  }
  question_ = nullptr;
  if (on_question) on_question(std::nullopt);
  if (halted()) co_return;
  recorder_->end_step(answer_ ? "answered" : "time");
  if (answer_) co_return;
  if (step.unanswered) {
    next_step_ = *step.unanswered;
  } else {
    halt(RunOutcome::stopped, say("nobody_answered", "nobody answered: {question}",
                                  {said_words("question", step.question->text)}));
  }
}

Result<void> RunExecution::answer(const std::string& words) {
  if (question_ == nullptr || answer_) return fail(Errc::conflict, "nothing is asked", order_.run.place);
  const Result<std::optional<double>> worth = worth_of(*question_, words);
  if (!worth) return tl::unexpected<Error>(worth.error());
  if (question_->slot) values_.set_own(*question_->slot, *worth);
  answer_ = words;
  wake_.notify();
  return {};
}

}  // namespace leadwright
