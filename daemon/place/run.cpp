// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/run.h"
#include "daemon/procedure/expression_words.h"

#include <fmt/format.h>

#include <algorithm>

namespace leadwright {

namespace {
constexpr Second lease_look_period{0.5};  ///< machine time
constexpr Second durable_within{5.0};     ///< machine time for "run started" to reach the disk
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
  judge_attendance(order_.expected ? std::optional(order_.expected->volts) : std::nullopt);
}

RunSubject RunExecution::subject(std::optional<Celsius> case_temperature) const {
  return {*order_.procedure, order_.battery.nameplate, order_.parameters,
          order_.found,      instruments_.reach(),     case_temperature};
}

void RunExecution::judge_attendance(std::optional<Volt> volts) {
  attended_because_ = why_attended(*order_.procedure, order_.battery.nameplate, values_,
                                   {order_.place_is_attended_only, order_.unattended_allowed, volts});
}

void RunExecution::halt(RunOutcome outcome, const std::string& reason) {
  if (halt_) return;
  instruments_.cut_now();
  halted_at_ = clocks_.bench.now();
  halt_ = Halt{outcome, reason};
  instruments_.alarm(fmt::format("{} {}: {}", order_.run.place, word(outcome), reason));
  // At once: a daemon that dies before it has verified off must come back tripped.
  if (outcome == RunOutcome::tripped) {
    Batch batch;
    batch.emplace_back(PlaceRecord{order_.run.place, false, with_samples(reason)});
    store_.write(std::move(batch), {});
    if (recorder_) recorder_->flush();
  }
  wake_.notify();
}

void RunExecution::shout(const Error& not_off) {
  const std::string first = halt_ ? halt_->reason + "; " : "";
  halt_ = Halt{RunOutcome::tripped, first + "off could not be verified: " + not_off.line()};
  instruments_.alarm(fmt::format("{} tripped: {}", order_.run.place, halt_->reason));
}

bool RunExecution::is_protection_overdue() const {
  if (energy_ == Energy::none) return false;
  const Second time = halted_at_
                          ? verified_within * clocks_.bench.scale()
                          : instruments_.stale_after(*active()) + deadman_margin * clocks_.bench.scale();
  return clocks_.bench.now() - std::max(good_at_, halted_at_.value_or(good_at_)) > time;
}

void RunExecution::stop(const std::string& reason) {
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

Task<std::optional<Refusal>> RunExecution::admit() {
  AdmissionFacts facts;
  facts.nameplate = order_.battery.nameplate;
  facts.expected = order_.expected;
  facts.same_battery_confirmed = order_.same_battery_confirmed;
  facts.cells_confirmed = order_.cells_confirmed;
  facts.polarity_confirmed = order_.polarity_confirmed;
  facts.shield_confirmed = order_.shield_confirmed;
  const auto first_energy =
      std::ranges::find_if(order_.procedure->steps, [](const Step& step) { return energises(step.kind); });
  facts.begins_with_charge =
      first_energy != order_.procedure->steps.end() && first_energy->kind == StepKind::charge;
  const Procedure& procedure = *order_.procedure;
  const bool equipped = (!procedure.needs_load || instruments_.load() != nullptr) &&
                        (!procedure.needs_charger || instruments_.charger() != nullptr) &&
                        (!procedure.needs_thermometer || instruments_.thermometer() != nullptr);
  if (!equipped) {
    Refusal refusal;
    refusal.error = {Errc::unsupported, "this place lacks an instrument that the procedure needs", "",
                     "move the battery to a place that has it"};
    co_return refusal;
  }
  const Result<void> safe = co_await instruments_.make_safe();
  if (!safe) {
    result_.trip = "the instruments could not be made safe before the run: " + safe.error().line();
    instruments_.alarm(fmt::format("{} tripped: {}", order_.run.place, result_.trip));
    co_return Refusal{safe.error(), std::nullopt, std::nullopt};
  }
  if (auto not_reached = co_await reach_battery()) co_return not_reached;
  const Instant zero = clocks_.bench.now();
  const Result<Sample> first = co_await instruments_.sample(Energy::none, zero);
  if (!first) co_return Refusal{first.error(), std::nullopt, std::nullopt};
  facts.volts = first->volts;
  const Result<void> named = fill_values(subject(first->temperature), values_);
  if (!named) co_return Refusal{named.error(), std::nullopt, std::nullopt};
  facts.heaviest_draw = heaviest_draw(procedure, values_);
  if (instruments_.has_second_meter()) {
    const Result<Sample> second = co_await instruments_.sample(Energy::charge, zero);
    if (second) facts.second_volts = second->volts;
  }
  result_.last_volts = first->volts;
  judge_attendance(first->volts);
  watches_.begin_run(assumed_capacity(facts.nameplate), facts.nameplate.cells, first->volts,
                     first->temperature);
  co_return refusal(facts);
}

Task<std::optional<Refusal>> RunExecution::reach_battery() {
  while (!instruments_.take_leases()) {
    if (halted()) co_return Refusal{{Errc::stopped, halt_->reason, "", ""}, std::nullopt, std::nullopt};
    co_await wake_.wait_until(clocks_.bench.now() + lease_look_period * clocks_.bench.scale());
  }
  const Result<void> same = co_await instruments_.check_identities();
  if (!same) co_return Refusal{same.error(), std::nullopt, std::nullopt};
  const Result<void> reached = co_await instruments_.connect_battery();
  if (reached) co_return std::nullopt;
  if (reached.error().code != Errc::refused) {
    result_.trip = "the contacts to the battery can't be trusted: " + reached.error().line();
    instruments_.alarm(fmt::format("{} tripped: {}", order_.run.place, result_.trip));
  }
  co_return Refusal{reached.error(), std::nullopt, std::nullopt};
}

Task<void> RunExecution::leave_battery() {
  const Result<void> left = co_await instruments_.disconnect_battery();
  if (left) co_return;
  // Whatever ended the run, a battery may still hang on the leads.
  const std::string what = "the contacts to the battery did not open: " + left.error().line();
  result_.trip = result_.trip.empty() ? what : result_.trip + "; " + what;
  instruments_.alarm(fmt::format("{} tripped: {}", order_.run.place, what));
}

Task<Result<void>> RunExecution::make_durable() {
  auto outcome = std::make_shared<std::optional<Result<void>>>();
  auto acknowledged = std::make_shared<Signal>(clocks_.machine);
  Batch batch;
  batch.emplace_back(result_.run);
  store_.write(std::move(batch), [outcome, acknowledged](Result<void> result) {
    *outcome = std::move(result);
    acknowledged->notify();
  });
  const Instant deadline = clocks_.machine.now() + durable_within;
  while (!*outcome) {
    if (!co_await acknowledged->wait_until(deadline)) {
      co_return fail(Errc::timed_out, "the store did not confirm the start of the run", "store",
                     "check the disk that holds the state directory");
    }
  }
  co_return std::move(**outcome);
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
    const Result<void> durable = co_await make_durable();
    if (!durable) refused = Refusal{durable.error(), std::nullopt, std::nullopt};
    // A store that was only late may still keep it as begun: its end must follow.
    result_.began = true;
  }
  if (refused) {
    result_.run.outcome = RunOutcome::stopped;
    result_.run.end_reason = refused->error.line();
    result_.ask = refused->ask;
    if (refused->fault) {
      result_.faults.push_back(
          {order_.run.ticket, order_.run.id, *refused->fault, refused->error.what, clocks_.bench.utc()});
    }
    result_.run.ended_at = clocks_.bench.utc();
    co_await leave_battery();
    co_return std::move(result_);
  }
  result_.began = true;
  recorder_.emplace(order_.run.id, clocks_, store_);
  co_await run_steps();
  result_.trace = recorder_->trace();
  co_return std::move(result_);
}

Task<void> RunExecution::run_steps() {
  const std::size_t count = order_.procedure->steps.size();
  backs_.assign(count, 0);
  while (next_step_ < count && !halted()) {
    step_ = next_step_++;
    co_await run_step(step_);
  }
  energy_ = Energy::none;
  stale_timer_.cancel();
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
  result_.run.outcome = halt_ ? halt_->outcome : RunOutcome::complete;
  result_.run.end_reason = halt_ ? halt_->reason : "every step ended";
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
  recorder_->begin_step(static_cast<int>(index), step.name);
  step_started_ = clocks_.bench.now();
  good_at_ = step_started_;
  step_energy_ = Joule(0.0);
  energy_counted_ = Coulomb(0.0);
  held_since_.assign(step.until.size() + step.abort.size(), std::nullopt);
  // Asked for as the step before ended.
  if (pause_) co_await stand_still();
  Result<void> begun;
  if (draws(step.kind) && !halted()) begun = co_await begin_draw(step);
  if (step.kind == StepKind::charge && !halted()) begun = co_await begin_charge(step);
  if (!begun) {
    instruments_.blame(begun.error());
    halt(RunOutcome::stopped, begun.error().line());
  }
  if (!halted() && step.kind == StepKind::pulse) co_await pulse(step);
  if (!halted() && step.kind == StepKind::ask) co_await ask(step);
  if (!halted() && step.kind != StepKind::pulse && step.kind != StepKind::ask) co_await sample_step(step);
  if (!halted()) keep(step);
  co_await de_energise();
  if (halted()) recorder_->end_step(halt_->reason);
}

}  // namespace leadwright
