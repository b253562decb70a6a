// SPDX-License-Identifier: Apache-2.0
// What people want beyond the plan of the bench, and what they learn from each run.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/grading/full_charge.h"
#include "tools/returns/counter_hand.h"

namespace leadwright {

namespace {

/// How often in a visit a wish may need a charge or a rest first: each repeat once, and so often more (P).
constexpr int spare_preparations = 2;

bool is_for_charging_place(std::string_view procedure) {
  using namespace procedure_name;
  return procedure == charge || procedure == rest || procedure == recharge || procedure == recovery ||
         procedure == standing;
}

bool is_complete(const Run& run) {
  return run.outcome == RunOutcome::complete;
}

/// Charged, and not emptied since: a load test may be repeated.
bool was_charged_once(const TicketFile& file) {
  bool charged = false;
  for (const Run& run : file.runs) {
    if (takes_all(run.procedure)) charged = false;
    if (is_complete(run) && fills(run.procedure)) charged = true;
  }
  return charged;
}

bool had_capacity_test(const TicketFile& file) {
  return std::ranges::any_of(file.runs,
                             [](const Run& run) { return takes_all(run.procedure) && is_complete(run); });
}

}  // namespace

bool CounterHand::procedure_needs_word(std::string_view procedure) const {
  return policy_.complete_discharge == CompleteDischarge::with_consent && takes_all(procedure) &&
         plan_.consented;
}

/// A grade that is undecided names what would decide it. Where the owner is asked before a battery is emptied
/// and has agreed, the minutes are wanted even if a load test alone gave a letter.
void CounterHand::wish_for_more(const TicketFile& file) {
  const Grade& grade = *file.grade;
  if (!file.faults.empty()) return;
  const bool may_empty = policy_.complete_discharge == CompleteDischarge::yes ||
                         (policy_.complete_discharge == CompleteDischarge::with_consent && plan_.consented);
  const std::string capacity = policy_.procedures.capacity;
  if (policy_.complete_discharge == CompleteDischarge::with_consent && plan_.consented &&
      grade.letter != 'D' && !had_capacity_test(file) && !wished_for_minutes_) {
    wished_for_minutes_ = true;
    wishes_ = {capacity};
  } else if (grade.letter == 'U' && !grade.next_procedure.empty() && asked_again_ < people_.asks_again_max) {
    ++asked_again_;
    const std::string& next = grade.next_procedure;
    if (takes_all(next) && !may_empty) return;
    wishes_ = {next};
    const bool is_preparation = next == policy_.procedures.charge || next == policy_.procedures.conditioning;
    if (is_preparation && may_empty) wishes_.push_back(capacity);
    if (is_preparation && !may_empty) wishes_.push_back(policy_.procedures.high_rate);
  }
}

/// Full and rested, before what the bench would refuse or judge as worn.
void CounterHand::prepare_wish(const TicketFile& file) {
  const std::string wish = wishes_.front();
  const bool is_test = takes_all(wish) || wish == policy_.procedures.high_rate;
  if (!is_test || wish == policy_.procedures.conditioning) return;
  const bool must_be_full = takes_all(wish);
  const bool is_charged = must_be_full ? is_full(file.runs, policy_.procedures) : was_charged_once(file);
  if (is_charged && is_rested(file)) return;
  if (++prepared_ > people_.asks_again_max + spare_preparations) {
    wishes_.clear();
    return;
  }
  wishes_.emplace_front(procedure_name::rest);
  if (!is_charged) wishes_.emplace_front(procedure_name::charge);
}

std::optional<Work> CounterHand::next_for(const TicketFile& file) {
  const bool is_judged = file.grade && ready_to_grade(file, policy_);
  if (is_judged && wishes_.empty() && plan_.procedures.empty()) wish_for_more(file);
  if (!wishes_.empty()) prepare_wish(file);
  if (wishes_.empty()) return next_work(file, policy_);
  const std::string wish = wishes_.front();
  return Work{wish, is_for_charging_place(wish) ? PlaceKind::charging : PlaceKind::bay};
}

void CounterHand::run_ended(const RunResult& result) {
  if (!result.began) {
    if (!result.ask) refused(result.run.end_reason);
    return;
  }
  refused_ = 0;
  const Run& run = result.run;
  const bool complete = is_complete(run);
  visit_.runs.push_back(complete ? run.procedure : fmt::format("{} ({})", run.procedure, word(run.outcome)));
  if (!result.trip.empty()) ++visit_.trips;
  count_energy(result.trace);
  if (run.ended_at) {
    const bool at_bay = world_.bench().place(run.place)->kind() == PlaceKind::bay;
    const Second took = *run.ended_at - run.started_at;
    (at_bay ? visit_.bay_runs : visit_.charging_runs) += took;
    if (complete) visit_.times.push_back({run.procedure, took});
  }
  for (const Finding& finding : result.findings) {
    if (finding.measurand == Measurand::reserve_capacity_ref ||
        finding.measurand == Measurand::reserve_capacity_ref_at_least)
      visit_.minutes = finding;
    if (finding.measurand == Measurand::ocv && !visit_.came) visit_.came = Volt(finding.value);
    if (finding.measurand == Measurand::resistance && !visit_.resistance)
      visit_.resistance = Ohm(finding.value);
  }
  const bool was_wished = !wishes_.empty() && run.procedure == wishes_.front();
  if (was_wished && complete) wishes_.pop_front();
  // What its clamps ended is started again once they are reseated.
  if (was_wished && !complete && !result.ask) wishes_.clear();
  const char letter = file().grade ? file().grade->letter : ' ';
  if (letter != ' ' && (letter != letter_ || was_wished)) visit_.decided = since_arrival();
  letter_ = letter;
}

/// By the trapezium rule over what the instruments showed; a gap in the readings counts with its ends.
void CounterHand::count_energy(const Trace& trace) {
  const Sample* before = nullptr;
  for (const Sample& sample : trace.samples) {
    if (!sample.volts || !sample.amps) continue;
    if (before != nullptr) {
      const Watt mean = (*before->volts * *before->amps + *sample.volts * *sample.amps) / 2.0;
      const Joule moved = mean * (sample.at - before->at);
      (moved > Joule(0.0) ? visit_.drawn : visit_.charged) += abs(moved);
    }
    before = &sample;
  }
}

}  // namespace leadwright
