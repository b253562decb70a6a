// SPDX-License-Identifier: Apache-2.0
// How a run that survives its daemon is written down, and how it goes on.
#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "daemon/battery/uncertainty.h"
#include "daemon/place/run.h"

namespace leadwright {

namespace {
/// Machine time for "run started" and for a journal to reach the disk.
constexpr Second durable_within{5.0};
}  // namespace

Sentence not_gone_on(const Sentence& why) {
  return say("does_not_go_on", "the daemon stopped during this run, and it does not go on: ").add(why);
}

Task<Result<void>> RunExecution::make_durable(Batch batch) {
  auto outcome = std::make_shared<std::optional<Result<void>>>();
  auto acknowledged = std::make_shared<Signal>(clocks_.machine);
  store_.write(std::move(batch), [outcome, acknowledged](Result<void> result) {
    *outcome = std::move(result);
    acknowledged->notify();
  });
  const Instant deadline = clocks_.machine.now() + durable_within;
  while (!*outcome) {
    if (!co_await acknowledged->wait_until(deadline)) {
      co_return fail(Errc::timed_out,
                     "the store did not confirm what must be kept before anything is switched on", "store",
                     "check the disk that holds the state directory");
    }
  }
  co_return std::move(**outcome);
}

std::optional<RunJournal> RunExecution::journal() const {
  if (!order_.procedure->resumes || halted() || step_ >= order_.procedure->steps.size()) return std::nullopt;
  const Step& step = order_.procedure->steps[step_];
  if (!lasts(step.kind) || draws(step.kind)) return std::nullopt;
  const Trace& trace = recorder_->trace();
  const Trace::StepSpan& span = trace.steps.back();
  RunJournal now;
  now.run = order_.run.id;
  now.run_time = span.first < trace.samples.size() ? trace.samples.back().at : span.started_at;
  now.bench_at = recorder_->started() + now.run_time;
  now.at = Utc(clocks_.bench.utc().ns() - (clocks_.bench.now().ns() - now.bench_at.ns()));
  now.started_by = order_.started_by;
  now.instruments = instruments_.identities();
  now.paused = pause_.value_or(Sentence()).text();
  now.interruptions = interruptions_;
  now.interrupted = interrupted_;
  now.unmeasured = unmeasured_;
  now.step_unmeasured = step_unmeasured_;
  now.step = step_;
  now.step_time =
      std::max(Second(0.0), std::min(now.bench_at, stands_since_.value_or(now.bench_at)) - step_started_);
  if (step.kind == StepKind::charge) {
    // A charger that came back from a power cut by itself keeps to its own limit, not to ours.
    now.amps_max = std::max(Ampere(value(*step.amps).value_or(0.0)),
                            instruments_.reach().charger_amps_max.value_or(Ampere(0.0)));
  }
  now.step_charge = recorder_->step_charge();
  now.run_charge = recorder_->run_charge();
  now.step_energy = step_energy_;
  now.backs = backs_;
  now.own = values_.all_own();
  now.parameters = order_.parameters;
  now.estimated = estimated_;
  now.findings = result_.findings;
  now.faults = result_.faults;
  now.rested = rested_;
  if (!trace.samples.empty()) now.volts = trace.samples.back().volts;
  return now;
}

Task<void> RunExecution::keep_journal(StepKind kind) {
  if (!order_.procedure->resumes) co_return;
  if (!energises(kind)) {
    recorder_->flush();
    co_return;
  }
  Batch batch = recorder_->take();
  // What is on disk would go on with the step before this draw, and draw a second time.
  if (draws(kind)) batch.emplace_back(NoResume{order_.run.id});
  const Result<void> kept = co_await make_durable(std::move(batch));
  if (!kept && !halted()) halt(RunOutcome::stopped, in_own_words(kept.error().line()));
}

void RunExecution::take_up(const Interruption& from) {
  const RunJournal& journal = from.journal;
  const Second gap = from.gap_until(clocks_.bench.now());
  recorder_->take_up({from.samples, journal.spans}, journal.blocks, journal.run_charge,
                     journal.run_time + gap);
  backs_ = journal.backs;
  values_.set_all_own(journal.own);
  next_step_ = journal.step;
  estimated_ = journal.estimated;
  result_.findings = journal.findings;
  result_.faults = journal.faults;
  const Coulomb unmeasured = journal.amps_max * from.gap;
  unmeasured_ = journal.unmeasured + unmeasured;
  step_unmeasured_ = journal.step_unmeasured + unmeasured;
  interruptions_ = journal.interruptions + 1;
  interrupted_ = journal.interrupted + gap;
  if (!journal.paused.empty()) {
    pause_ = in_own_words(journal.paused);
  } else if (!attended_because_.empty()) {
    pause_ =
        say("interrupted_attended", "interrupted for {gap}, and ", {said_amount("gap", gap.si(), 0, "s")})
            .add(in_own_words(attended_because_))
            .say("look_then_go_on", ": look at the battery, then let it go on");
  } else if (from.may_be_another) {
    pause_ = say("interrupted_unknown",
                 "interrupted for {gap}, and its voltage can't tell it from another battery: see that it is "
                 "this ticket's, then let it go on",
                 {said_amount("gap", gap.si(), 0, "s")});
  }
}

void RunExecution::give_up(const Sentence& why) {
  const RunJournal& journal = order_.from->journal;
  result_.began = true;
  result_.run.outcome = RunOutcome::void_;
  result_.run.end_with(not_gone_on(why));
  result_.moved = journal.run_charge;
  result_.ask.reset();
  // Nobody was there who could have told whose battery the last look saw.
  result_.faults.clear();
}

Sentence RunExecution::resumed_words() const {
  if (interruptions_ == 0) return {};
  const PhraseValue time = said_amount("time", interrupted_.si(), 0, "s");
  Sentence words = interruptions_ == 1
                       ? say("resumed_once", "resumed after an interruption of {time}", {time})
                       : say("resumed_often", "resumed after {count} interruptions of {time}",
                             {said_count("count", interruptions_), time});
  if (unmeasured_ > Coulomb(0.0)) {
    words.say("went_in_unmeasured", ", in which at most {amount} went in unmeasured",
              {said_amount("amount", as_ampere_hours(unmeasured_), 2, "Ah")});
  }
  return words;
}

void RunExecution::mark_resumed(Finding& finding) const {
  if (interruptions_ == 0) return;
  finding.conditions += (finding.conditions.empty() ? "" : "; ") + resumed_words().text();
  const bool is_put_in = finding.measurand == Measurand::returned || finding.measurand == Measurand::accepted;
  if (!is_put_in || unmeasured_ <= Coulomb(0.0)) return;
  std::vector<BudgetLine> budget = finding.budget;
  budget.push_back({"interruption", fmt::format("{:.2f} Ah rect.", as_ampere_hours(unmeasured_)),
                    rectangular(as_ampere_hours(unmeasured_))});
  finding = with_budget(std::move(finding), std::move(budget));
}

Coulomb RunExecution::most_moved() const {
  const Coulomb measured = recorder_->run_charge();
  const Coulomb most = measured - unmeasured_;
  return abs(most) > abs(measured) ? most : measured;
}

Values RunExecution::values_at_most() const {
  Values values = values_;
  const auto add = [&values](Name name, double more) {
    if (const auto& known = values.get(name)) values.set(name, *known + more);
  };
  add(Name::step_charge, step_unmeasured_.si());
  add(Name::run_charge, -unmeasured_.si());
  add(Name::step_energy, (step_unmeasured_ * Volt(values.get(Name::volts).value_or(0.0))).si());
  return values;
}

}  // namespace leadwright
