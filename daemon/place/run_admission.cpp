// SPDX-License-Identifier: Apache-2.0
// Before a run: instruments safe, contacts proved, and the last look at the battery.
#include <fmt/format.h>

#include <algorithm>
#include <span>

#include "daemon/battery/trace_reading.h"
#include "daemon/place/run.h"

namespace leadwright {

namespace {
/// After an interrupted charge the surface charge falls before the battery is looked at: the look means what
/// it means before a run (common practice, no source).
constexpr Second settling_after_charge{60.0};
constexpr Second lease_look_period{0.5};  ///< machine time

Refusal halted_before(const Sentence& reason) {
  return {{Errc::stopped, reason.text(), "", ""}, std::nullopt, std::nullopt, reason};
}
}  // namespace

RunSubject RunExecution::subject(std::optional<Celsius> case_temperature) const {
  return {*order_.procedure, order_.battery.nameplate, order_.parameters,
          order_.found,      instruments_.reach(),     case_temperature};
}

void RunExecution::judge_attendance(std::optional<Volt> volts) {
  // What went in before an interruption hides how flat it was.
  const std::optional<Volt> rested = order_.from ? order_.from->journal.rested : std::nullopt;
  if (rested) volts = std::min(volts.value_or(*rested), *rested);
  attended_because_ = why_attended(*order_.procedure, order_.battery.nameplate, values_,
                                   {order_.place_is_attended_only, order_.unattended_allowed, volts});
}

Task<std::optional<Refusal>> RunExecution::admit() {
  AdmissionFacts facts;
  facts.nameplate = order_.battery.nameplate;
  facts.expected = order_.expected;
  facts.same_battery_at = order_.same_battery_at;
  facts.cells_confirmed = order_.cells_confirmed;
  facts.polarity_confirmed = order_.polarity_confirmed;
  facts.shield_confirmed = order_.shield_confirmed;
  const Procedure& procedure = *order_.procedure;
  const Interruption* from = order_.from.get();
  const auto left = std::span(procedure.steps).subspan(from != nullptr ? from->journal.step : 0);
  const auto first_energy = std::ranges::find_if(left, [](const Step& step) { return energises(step.kind); });
  facts.begins_with_charge = first_energy != left.end() && first_energy->kind == StepKind::charge;
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
    result_.trip = say("not_safe_before", "the instruments could not be made safe before the run: ")
                       .add(in_own_words(safe.error().line()));
    instruments_.alarm(fmt::format("{} tripped: {}", order_.run.place, result_.trip.text()));
    co_return Refusal{safe.error(), std::nullopt, std::nullopt};
  }
  if (auto not_reached = co_await reach_battery()) co_return not_reached;
  if (from != nullptr && left.front().kind == StepKind::charge) {
    const Instant settled = clocks_.bench.now() + settling_after_charge;
    while (!halted() && clocks_.bench.now() < settled) co_await wake_.wait_until(settled);
    if (halted()) co_return halted_before(halt_->reason);
  }
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
  // A charge has warmed it since: what it may warm counts from the beginning of the run.
  const std::optional<Celsius> cool =
      from != nullptr ? first_temperature(from->samples) : std::optional<Celsius>();
  watches_.begin_run(assumed_capacity(facts.nameplate), facts.nameplate.cells,
                     from != nullptr && from->journal.rested ? from->journal.rested : first->volts,
                     cool ? cool : first->temperature);
  co_return refusal(facts);
}

Task<std::optional<Refusal>> RunExecution::reach_battery() {
  while (!instruments_.take_leases()) {
    if (halted()) co_return halted_before(halt_->reason);
    co_await wake_.wait_until(clocks_.bench.now() + lease_look_period * clocks_.bench.scale());
  }
  const Result<void> same = co_await instruments_.check_identities();
  if (!same) co_return Refusal{same.error(), std::nullopt, std::nullopt};
  const Result<void> reached = co_await instruments_.connect_battery();
  if (reached) co_return std::nullopt;
  if (reached.error().code != Errc::refused) {
    result_.trip = say("contacts_doubted", "the contacts to the battery can't be trusted: ")
                       .add(in_own_words(reached.error().line()));
    instruments_.alarm(fmt::format("{} tripped: {}", order_.run.place, result_.trip.text()));
  }
  co_return Refusal{reached.error(), std::nullopt, std::nullopt};
}

Task<void> RunExecution::leave_battery() {
  const Result<void> left = co_await instruments_.disconnect_battery();
  if (left) co_return;
  // Whatever ended the run, a battery may still hang on the leads.
  const Sentence what = say("contacts_stay", "the contacts to the battery did not open: ")
                            .add(in_own_words(left.error().line()));
  if (!result_.trip.empty()) result_.trip.say("and_then", "; ");
  result_.trip.add(what);
  instruments_.alarm(fmt::format("{} tripped: {}", order_.run.place, what.text()));
}

}  // namespace leadwright
