// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/run.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "daemon/procedure/expression_words.h"

namespace leadwright {

namespace {
/// Machine time beyond which protection counts as not having run: after the deadman was due, and for three
/// attempts to switch off and read back on a line that answers late.
constexpr Second deadman_margin{1.0};
constexpr Second verified_within{10.0};
}  // namespace

RunExecution::RunExecution(RunOrder order, PlaceInstruments& instruments, Clocks clocks, Store& store)
    : order_(std::move(order)),
      instruments_(instruments),
      clocks_(clocks),
      store_(store),
      wake_(clocks.bench),
      stale_timer_(clocks.bench) {
  result_.run = order_.run;
  // What is wrong with a name is said when the run is admitted.
  static_cast<void>(fill_values(subject(std::nullopt), values_));
  forecast_ = ForecastTrack(forecast_subject(order_.battery.nameplate, order_.found, order_.design),
                            order_.estimator.forecast);
  judge_attendance(order_.expected ? std::optional(order_.expected->volts) : std::nullopt);
}

void RunExecution::halt(RunOutcome outcome, const Sentence& reason) {
  if (halt_) return;
  instruments_.cut_now();
  halted_at_ = clocks_.bench.now();
  halt_ = Halt{outcome, reason};
  instruments_.alarm(fmt::format("{} {}: {}", order_.run.place, word(outcome), reason.text()));
  // At once: a daemon that dies before it has verified off must come back tripped.
  if (outcome == RunOutcome::tripped) {
    Batch batch;
    const Sentence trip = with_samples(reason);
    batch.emplace_back(PlaceRecord{order_.run.place, false, trip.text(), trip.phrases()});
    store_.write(std::move(batch), {});
    if (recorder_) recorder_->flush();
  }
  // What was stopped is never gone on with, however soon the daemon dies after it.
  if (order_.procedure->resumes) {
    Batch batch;
    batch.emplace_back(NoResume{order_.run.id});
    store_.write(std::move(batch), {});
  }
  wake_.notify();
}

void RunExecution::shout(const Error& not_off) {
  Sentence reason = halt_ ? halt_->reason : Sentence();
  if (halt_) reason.say("and_then", "; ");
  reason.say("off_not_verified", "off could not be verified: ").add(in_own_words(not_off.line()));
  halt_ = Halt{RunOutcome::tripped, std::move(reason)};
  instruments_.alarm(fmt::format("{} tripped: {}", order_.run.place, halt_->reason.text()));
}

bool RunExecution::is_protection_overdue() const {
  if (energy_ == Energy::none) return false;
  const Second time = halted_at_
                          ? verified_within * clocks_.bench.scale()
                          : instruments_.stale_after(*active()) + deadman_margin * clocks_.bench.scale();
  return clocks_.bench.now() - std::max(good_at_, halted_at_.value_or(good_at_)) > time;
}

void RunExecution::stop(const Sentence& reason) {
  halt(RunOutcome::stopped, reason);
}

Result<double> RunExecution::value(const Expression& expression) const {
  const std::optional<double> number = expression.evaluate(values_);
  if (!number) return tl::unexpected<Error>(lacks_datum(expression, values_, order_.procedure->file));
  return *number;
}

Instrument* RunExecution::active() const {
  return energy_ == Energy::charge ? instruments_.charger() : instruments_.load();
}

Task<RunResult> RunExecution::execute() {
  std::optional<Refusal> refused = co_await admit();
  if (!refused) {
    Result<std::vector<Envelope>> envelopes =
        envelopes_for(*order_.procedure, order_.battery.nameplate, values_, instruments_.reach());
    if (envelopes) {
      envelopes_ = std::move(*envelopes);
      envelope_ = envelopes_.front();
    } else {
      refused = Refusal{envelopes.error(), std::nullopt, std::nullopt};
    }
  }
  if (!refused) {
    Batch batch(order_.people.begin(), order_.people.end());
    batch.emplace_back(result_.run);
    if (const auto& consent = result_.run.consent; consent && !order_.from) {
      batch.emplace_back(AuditEntry{
          clocks_.bench.utc(), order_.started_by, "run.consent", shown(order_.run.ticket),
          fmt::format("{}: agreed to by the person whom {} names", consent->to, shown(order_.run.id))});
    }
    if (order_.from) {
      batch.emplace_back(AuditEntry{clocks_.bench.utc(), "leadwrightd", "run.resume", shown(order_.run.id),
                                    fmt::format("after an interruption of {:.0f} s",
                                                order_.from->gap_until(clocks_.bench.now()).si())});
    }
    const Result<void> durable = co_await make_durable(std::move(batch));
    if (!durable) refused = Refusal{durable.error(), std::nullopt, std::nullopt};
    // A store that was only late may still keep it as begun: its end must follow.
    result_.began = true;
  }
  if (refused) {
    result_.run.outcome = RunOutcome::stopped;
    result_.run.end_with(why_refused(*refused));
    result_.ask = refused->ask;
    if (refused->fault) {
      result_.faults.push_back(
          {order_.run.ticket, order_.run.id, *refused->fault, refused->error.what, clocks_.bench.utc()});
    }
    if (order_.from) give_up(why_refused(*refused));
    result_.run.ended_at = clocks_.bench.utc();
    co_await leave_battery();
    co_return std::move(result_);
  }
  result_.began = true;
  recorder_.emplace(order_.run.id, clocks_, store_);
  recorder_->journal = [this] { return journal(); };
  recorder_->refused = [this](const Error& error) {
    halt(RunOutcome::stopped,
         say("trace_not_kept", "the store can't keep the trace: ").add(in_own_words(error.line())));
  };
  backs_.assign(order_.procedure->steps.size(), 0);
  if (order_.from) take_up(*order_.from);
  co_await run_steps();
  result_.trace = recorder_->trace();
  co_return std::move(result_);
}

Task<void> RunExecution::run_steps() {
  const std::size_t count = order_.procedure->steps.size();
  while (next_step_ < count && !halted()) {
    step_ = next_step_++;
    co_await run_step(step_);
  }
  energy_ = Energy::none;
  stale_timer_.cancel();
  // What the store refuses from now on is kept by whoever writes the result.
  recorder_->refused = nullptr;
  const Result<void> safe = co_await instruments_.make_safe();
  if (!safe) shout(safe.error());
  if (halt_) {
    // What another one reads back as off proves nothing: the place waits until the right one is back.
    const Result<void> same = co_await instruments_.check_identities();
    if (!same && same.error().code == Errc::conflict) shout(same.error());
  }
  if (instruments_.is_connected()) {
    const Result<Sample> rested = co_await instruments_.sample(Energy::none, recorder_->started());
    if (rested && rested->volts) result_.last_volts = rested->volts;
  }
  recorder_->flush();
  result_.moved = recorder_->run_charge();
  result_.interruptions = interruptions_;
  result_.unmeasured = unmeasured_;
  result_.run.outcome = halt_ ? halt_->outcome : RunOutcome::complete;
  Sentence end = halt_ ? halt_->reason : say("every_step_ended", "every step ended");
  if (const Sentence resumed = resumed_words(); !resumed.empty()) end.say("and_then", "; ").add(resumed);
  result_.run.end_with(end);
  if (halt_ && halt_->outcome == RunOutcome::tripped) result_.trip = with_samples(halt_->reason);
  co_await leave_battery();
  // The findings of a run that did not complete stay evidence in its trace, never a basis for a grade.
  if (halt_) {
    result_.findings.clear();
    result_.faults.clear();
  }
  result_.run.ended_at = clocks_.bench.utc();
}

Task<void> RunExecution::run_step(std::size_t index) {
  // A copy: where the load can't do a draw its `instead` takes the place of some keys.
  Step step = order_.procedure->steps[index];
  enter_frame(step);
  if (!lasts(step.kind)) {
    think(step);
    co_return;
  }
  step_started_ = good_at_ = slope_due_ = clocks_.bench.now();
  step_energy_ = Joule(0.0);
  energy_counted_ = Coulomb(0.0);
  if (const auto from = std::exchange(order_.from, nullptr)) {
    recorder_->continue_step(static_cast<int>(index), step.name, from->journal.step_charge);
    // What nobody watched does not count: a rest only gets longer.
    step_started_ = step_started_ - from->journal.step_time;
    step_energy_ = from->journal.step_energy;
    energy_counted_ = abs(from->journal.step_charge);
    rested_ = from->journal.rested;
  } else {
    recorder_->begin_step(static_cast<int>(index), step.name);
    step_unmeasured_ = Coulomb(0.0);
    rested_ = result_.last_volts;
  }
  held_since_.assign(step.until.size() + step.abort.size(), std::nullopt);
  co_await keep_journal(step.kind);
  // Asked for as the step before ended, or of a run that was interrupted.
  if (pause_ && !halted()) co_await stand_still();
  Result<void> begun;
  if (draws(step.kind) && !halted()) begun = co_await begin_draw(step);
  if (step.kind == StepKind::charge && !halted()) begun = co_await begin_charge(step);
  if (!begun) {
    instruments_.blame(begun.error());
    halt(RunOutcome::stopped, in_own_words(begun.error().line()));
  }
  if (!halted() && step.kind == StepKind::pulse) co_await pulse(step);
  if (!halted() && step.kind == StepKind::ask) co_await ask(step);
  if (!halted() && step.kind != StepKind::pulse && step.kind != StepKind::ask) co_await sample_step(step);
  if (!halted()) keep(step);
  co_await de_energise();
  if (halted()) recorder_->end_step(halt_->reason.text());
}

}  // namespace leadwright
