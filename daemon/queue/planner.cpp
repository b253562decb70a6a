// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/planner.h"

#include <fmt/format.h>

#include <algorithm>

#include "daemon/battery/half_cca.h"
#include "daemon/grading/full_charge.h"
#include "daemon/grading/grade.h"
#include "daemon/queue/overrule.h"
#include "daemon/queue/planner_choices.h"

namespace leadwright {

namespace {

/// 12.42 V for six cells: 75 % of charge by the rule SG + 0.845 (shared domain notes, section 5: C).
constexpr Volt cell_charged_min{2.07};
/// 10.5 V for six cells: no cell of an empty battery rests so low (Bode at 0.7 mol/kg, 1.90 V: C).
constexpr Volt cell_flat_max{1.75};

struct Standing {
  bool intake = false;
  bool charged = false;  ///< since the last discharge
  bool rested = false;   ///< since energy last flowed
  bool drained = false;  ///< a discharge began and no charge was completed since
  bool resistance = false;
  bool loaded = false;  ///< a load test at cranking current was made
  bool tested = false;
};

Standing standing(const TicketFile& file) {
  Standing now;
  for (const Run& run : file.runs) {
    const bool complete = run.outcome == RunOutcome::complete;
    if (is_rest(run.procedure)) {
      now.rested = complete || now.rested;
      continue;
    }
    if (run.procedure == procedure_name::standing || hardly_drew(run)) continue;
    if (run.procedure == procedure_name::intake) now.intake |= complete;
    if (is_resistance(run.procedure)) {
      now.resistance |= complete;
      continue;
    }
    now.rested = false;
    if (is_completed_charge(run)) {
      now.charged = true;
      now.drained = false;
    }
    // A conditioning cycle that was stopped may have been in its discharge.
    if (is_capacity(run.procedure) || (run.procedure == procedure_name::conditioning && !complete)) {
      now.charged = false;
      now.drained = true;
    }
    if (run.procedure == procedure_name::half_cca_load) now.loaded |= complete;
    if (is_reserve_capacity(run.procedure)) now.tested |= complete;
  }
  return now;
}

const Run* complete_run(const TicketFile& file, std::string_view procedure) {
  const auto found = std::find_if(file.runs.begin(), file.runs.end(), [procedure](const Run& run) {
    return run.procedure == procedure && run.outcome == RunOutcome::complete;
  });
  return found == file.runs.end() ? nullptr : &*found;
}

Work work(std::string_view procedure) {
  const bool needs_no_load = procedure != procedure_name::conditioning;
  const bool light = only_looks(procedure) || (puts_charge_in(procedure) && needs_no_load);
  return {std::string(procedure), light ? PlaceKind::charging : PlaceKind::bay};
}

bool is_open(const Ticket& ticket) {
  return ticket.state != TicketState::refused && ticket.state != TicketState::closed &&
         ticket.state != TicketState::held;
}

/// For a load test. A rested voltage gives the state of charge. Before the first rest the voltage can only
/// read too high (surface charge), so a low one is enough to charge, and a high one proves nothing yet.
bool looks_discharged(const TicketFile& file, const Policy& policy) {
  if (const Finding* soc = file.newest(Measurand::soc)) return soc->value < policy.soc_min_to_test;
  const Finding* ocv = file.newest(Measurand::ocv);
  return ocv == nullptr || Volt(ocv->value) / file.battery.nameplate.cells < cell_charged_min;
}

/// Charged as far as a load test asks; a light draw asks for the same.
bool may_be_loaded(const Standing& now, const TicketFile& file, const Policy& policy) {
  return now.charged || (!now.drained && !looks_discharged(file, policy));
}

/// The first charge of a deeply discharged battery is a soft start with somebody there.
Work charging_work(const TicketFile& file, const Policy& policy) {
  const bool was_filled = std::ranges::any_of(file.runs, is_completed_charge);
  const Finding* ocv = file.newest(Measurand::ocv);
  // Too flat for the intake check, which would have found its voltage.
  const bool is_known = ocv != nullptr || file.too_flat;
  const Volt volts = ocv != nullptr ? Volt(ocv->value) : file.last_volts.value_or(Volt(0.0));
  const Volt deep = policy.deep_discharged_cell.value_or(cell_flat_max) * file.battery.nameplate.cells;
  return work(!was_filled && is_known && volts < deep ? procedure_name::recovery : procedure_name::charge);
}

/// The newest run that moved anything, if that is a load test; else null.
const Run* load_test_just_made(const TicketFile& file) {
  const auto last = std::find_if(file.runs.rbegin(), file.runs.rend(),
                                 [](const Run& run) { return !only_looks(run.procedure); });
  return last != file.runs.rend() && last->procedure == procedure_name::half_cca_load ? &*last : nullptr;
}

/// The draw that collapsed comes again before anything moves the battery: what was reseated must be what is
/// tried. What flowed until the collapse is nothing that a rest would be needed for.
bool is_to_be_loaded_again(const TicketFile& file) {
  return file.has_collapsed && file.clamps_reseated && load_test_just_made(file) != nullptr;
}

/// C: a full battery of six cells rests 0.24 V higher than one at 75 % (SG 1.265 and 1.225).
constexpr Volt cell_gains_by_charge{0.04};

/// If it were full, it might not fail: it lacks no more than a charge would add, and the guard band.
bool fails_by_little(const TicketFile& file, const Policy& policy) {
  const Finding* margin = file.newest(Measurand::load_margin);
  const Volt guard_band{policy.guard_factor * margin->u};
  return -Volt(margin->value) < cell_gains_by_charge * file.battery.nameplate.cells + guard_band;
}

/// The load test once more: at once where it was just made, else from a full charge. One that came to it
/// with less and failed by little is charged first.
std::optional<Work> next_against_clamps(const TicketFile& file, const Policy& policy) {
  if (!clamps_to_rule_out(file, policy)) return std::nullopt;
  const Standing now = standing(file);
  const Run* last = load_test_just_made(file);
  const bool at_once = last != nullptr && (last->outcome == RunOutcome::complete || file.has_collapsed);
  if (at_once && (now.charged || !fails_by_little(file, policy))) return work(procedure_name::half_cca_load);
  if (!now.charged) return charging_work(file, policy);
  return work(now.rested ? procedure_name::half_cca_load : procedure_name::rest);
}

Work with_choice(Work work, const std::optional<Choice>& choice) {
  work.choice = choice;
  return work;
}

Work capacity_work(const Policy& policy) {
  const bool may_stop_early = policy.early_reached || policy.early_missed;
  return work(may_stop_early ? procedure_name::until_decided : procedure_name::reserve_capacity);
}

/// A rest as it came may stay at the bay, where its tests follow.
Work resting_work(const TicketFile& file, const Policy& policy, bool is_charged) {
  Work rest = work(procedure_name::rest);
  if (is_charged) return rest;
  rest.choice = rest_choice(file, policy);
  if (rest.choice && rest.choice->chosen.begins == Way::Begins::rest_here) rest.place_kind = PlaceKind::bay;
  return rest;
}

/// Full, rested, its resistance known: the tests that are still wanted, in the order that costs less.
std::optional<Work> next_under_load(const TicketFile& file, const Policy& policy, bool wants_load,
                                    bool wants_minutes) {
  if (!wants_load) return wants_minutes ? std::optional(capacity_work(policy)) : std::nullopt;
  Work load = work(procedure_name::half_cca_load);
  if (!wants_minutes || !is_full(file.runs, policy.procedures)) return load;
  const auto choice = first_test_choice(file, policy);
  const bool minutes_first = choice && choice->chosen.begins == Way::Begins::minutes;
  return with_choice(minutes_first ? capacity_work(policy) : load, choice);
}

/// Next of the chain of tests.
std::optional<Work> next_of_chain(const TicketFile& file, const Policy& policy) {
  if (!file.ticket.asked_procedures.empty()) {
    for (const std::string& asked : file.ticket.asked_procedures) {
      if (complete_run(file, asked) == nullptr) return work(asked);
    }
    return std::nullopt;
  }
  const Standing now = standing(file);
  // Too flat for the light draw of the intake check: that comes as soon as it holds a voltage.
  if (!now.intake) return file.too_flat ? charging_work(file, policy) : work(procedure_name::intake);
  const bool may_be_emptied = policy.complete_discharge == CompleteDischarge::yes;
  const bool wants_load =
      policy.high_rate_draw_required && cranking_load(file.battery.nameplate) && !now.loaded;
  const bool wants_minutes = may_be_emptied && !now.tested;
  if (now.tested && !(may_be_emptied && wants_load && load_follows_minutes(file, policy)))
    return std::nullopt;
  if (now.loaded && !may_be_emptied) return std::nullopt;
  if (wants_load && is_to_be_loaded_again(file)) return work(procedure_name::half_cca_load);
  const bool minutes_alone = wants_minutes && !wants_load;
  if (minutes_alone && now.loaded && stands_by_load(evidence_so_far(file), policy)) return std::nullopt;
  const bool is_charged =
      minutes_alone ? is_full(file.runs, policy.procedures) : may_be_loaded(now, file, policy);
  if (!is_charged || charge_in_doubt(file, policy)) return charging_work(file, policy);
  const bool may_choose = wants_load && wants_minutes && !now.charged;
  if (may_choose && !now.resistance && asks_resistance_first(file, policy))
    return work(procedure_name::resistance);
  const auto start = may_choose ? start_choice(file, policy) : std::nullopt;
  if (start && start->chosen.begins == Way::Begins::charge)
    return with_choice(charging_work(file, policy), start);
  if (!now.rested) return resting_work(file, policy, now.charged);
  if (!now.resistance) return with_choice(work(procedure_name::resistance), start);
  if (start) return with_choice(work(procedure_name::half_cca_load), start);
  return next_under_load(file, policy, wants_load, wants_minutes);
}

/// What the tests would keep in service is watched on its shelf where that is worth it: full, because it is
/// to be given back full and a charge afterwards would hide what it lost.
std::optional<Work> next_look(const TicketFile& file, const Policy& policy) {
  const auto until = stands_until(evidence_so_far(file), policy);
  if (!until) return std::nullopt;
  const bool is_full_enough =
      policy.triage ? is_full_but_for_a_load_test(file, policy) : is_full(file.runs, policy.procedures);
  if (!is_full_enough) return work(procedure_name::recharge);
  Work look = work(procedure_name::standing);
  look.not_before = until;
  return look;
}

/// Before the grade.
std::optional<Work> next_test(const TicketFile& file, const Policy& policy) {
  if (!file.faults.empty()) return std::nullopt;
  if (auto test = next_of_chain(file, policy)) return test;
  if (auto again = next_against_clamps(file, policy)) return again;
  return file.ticket.asked_procedures.empty() ? next_look(file, policy) : std::nullopt;
}

}  // namespace

bool clamps_to_rule_out(const TicketFile& file, const Policy& policy) {
  const Finding* margin = file.newest(Measurand::load_margin);
  if (margin == nullptr || followed_reseating(*margin) || !file.faults.empty()) return false;
  Evidence evidence = evidence_so_far(file);
  const auto may_decide = [&] {
    return !loaded_after_reseating(file) && is_undecided_by_load(evidence, policy);
  };
  if (!stands_by_load(evidence, policy) && !may_decide()) return false;
  std::erase_if(evidence.findings,
                [](const Finding& each) { return each.measurand == Measurand::load_margin; });
  return grade(evidence, policy).letter != 'D';
}

std::optional<Work> next_work(const TicketFile& file, const Policy& policy) {
  if (!is_open(file.ticket)) return std::nullopt;
  if (auto test = next_test(file, policy)) return test;
  // What is to be scrapped is charged only if a person starts it.
  const bool worth_charging = file.faults.empty() && letter_that_stands(file) != 'D';
  if (file.ticket.needs_recharge && worth_charging) return work(procedure_name::recharge);
  return std::nullopt;
}

bool ready_to_grade(const TicketFile& file, const Policy& policy) {
  return is_open(file.ticket) && !next_test(file, policy);
}

std::string out_of_turn(const TicketFile& file, const Policy& policy, std::string_view procedure) {
  const auto& asked = file.ticket.asked_procedures;
  if (std::ranges::find(asked, procedure) != asked.end()) return {};
  const Standing now = standing(file);
  if (puts_charge_in(procedure) && !now.intake && !file.too_flat)
    return "the intake check comes before any charge";
  if (!is_capacity(procedure)) return {};
  if (!now.intake) return "the intake check comes before a test";
  const bool full = is_full(file.runs, policy.procedures);
  if (full && now.rested) return {};
  return fmt::format(
      "a capacity test begins only when the battery is fully charged and rested, with nothing drawn in "
      "between, else a sound one would be graded as worn: the {} comes first",
      full ? procedure_name::rest : procedure_name::charge);
}

bool is_rested(const TicketFile& file) {
  return standing(file).rested;
}

}  // namespace leadwright
