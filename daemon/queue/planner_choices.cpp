// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/planner_choices.h"

#include <algorithm>
#include <vector>

#include "daemon/battery/half_cca.h"
#include "daemon/battery/procedure_names.h"
#include "daemon/grading/full_charge.h"
#include "daemon/grading/grade.h"
#include "daemon/grading/warranty.h"

namespace leadwright {
namespace {

/// 12.42 V for six cells: 75 % of charge by the rule SG + 0.845 (shared domain notes, section 5: C).
constexpr Volt cell_three_quarters{2.07};
/// C: a full battery of six cells rests 0.24 V higher than one at 75 % (SG 1.265 and 1.225).
constexpr double soc_per_cell_volt = 0.25 / 0.04;
/// M: a starter battery whose label states no minutes has some 1.6 of them for each ampere-hour.
constexpr Second minutes_per_ah = minutes(1.6);

Second rated_minutes(const Nameplate& plate) {
  if (plate.reserve_capacity) return plate.reserve_capacity->value;
  return plate.c20 ? minutes_per_ah * as_ampere_hours(plate.c20->value) : Second(0.0);
}

/// As it was when it came in.
const Finding* first_volts(const TicketFile& file) {
  const auto first = std::ranges::find(file.findings, Measurand::ocv, &Finding::measurand);
  return first == file.findings.end() ? nullptr : &*first;
}

TriageKnown known_of(const TicketFile& file) {
  const Evidence evidence = evidence_so_far(file);
  const Nameplate& plate = file.battery.nameplate;
  TriageKnown known;
  if (const Finding* volts = first_volts(file); volts != nullptr && plate.cells > 0) {
    const Volt cell = Volt(volts->value) / plate.cells;
    known.came_charged = cell >= cell_three_quarters;
    known.soc = std::clamp(0.75 + (cell - cell_three_quarters).si() * soc_per_cell_volt, 0.0, 1.0);
  }
  if (const Finding* soc = file.newest(Measurand::soc)) known.soc = soc->value;
  const Finding* resistance = file.newest(Measurand::resistance);
  if (resistance != nullptr && plate.cca) known.product = Ohm(resistance->value) * plate.cca->value;
  known.age_months = age_months(evidence);
  known.rated = rated_minutes(plate);
  return known;
}

/// Without a rating minutes are compared with nothing.
bool may_be_weighed(const TicketFile& file, const Policy& policy) {
  return policy.triage && !policy.triage->rows.empty() && rated_minutes(file.battery.nameplate) > Second(0.0);
}

}  // namespace

Evidence evidence_so_far(const TicketFile& file) {
  const auto newest = std::ranges::max_element(file.findings, {}, &Finding::at);
  return evidence_of(file, newest == file.findings.end() ? Utc() : newest->at);
}

std::optional<Choice> first_test_choice(const TicketFile& file, const Policy& policy) {
  if (!may_be_weighed(file, policy)) return std::nullopt;
  return choose_first_test(*policy.triage, known_of(file));
}

bool asks_resistance_first(const TicketFile& file, const Policy& policy) {
  return may_be_weighed(file, policy) && chances_of(*policy.triage, known_of(file));
}

std::optional<Choice> start_choice(const TicketFile& file, const Policy& policy) {
  if (!may_be_weighed(file, policy)) return std::nullopt;
  TriageKnown known = known_of(file);
  known.is_rested = !file.runs.empty() && is_rest(file.runs.back().procedure);
  return choose_start(*policy.triage, known);
}

std::optional<Choice> rest_choice(const TicketFile& file, const Policy& policy) {
  if (!policy.triage || file.runs.empty()) return std::nullopt;
  const Run& last = file.runs.back();
  const bool stands_there = !last.place.empty() && last.place == file.ticket.place;
  const bool was_intake = last.procedure == procedure_name::intake && last.outcome == RunOutcome::complete;
  if (!was_intake || !stands_there) return std::nullopt;
  return choose_where_to_rest(*policy.triage);
}

std::optional<Way> way_from(const TicketFile& file, const Policy& policy, std::string_view next) {
  if (!policy.triage || file.grade || next == procedure_name::recharge) return std::nullopt;
  const auto was_done = [&file](const auto& is_such) {
    return std::ranges::any_of(file.runs, [&](const Run& run) {
      return run.outcome == RunOutcome::complete && is_such(run.procedure);
    });
  };
  TestsAhead tests;
  tests.intake = next == procedure_name::intake;
  tests.charge = tests.intake || fills(next);
  tests.rest = is_rest(next);
  tests.load = policy.high_rate_draw_required && cranking_load(file.battery.nameplate) &&
               !was_done([](std::string_view each) { return each == procedure_name::half_cca_load; });
  tests.minutes = policy.complete_discharge == CompleteDischarge::yes && !was_done(is_reserve_capacity);
  return way_ahead(*policy.triage, known_of(file), tests);
}

bool is_full_but_for_a_load_test(const TicketFile& file, const Policy& policy) {
  std::vector<Run> others = file.runs;
  std::erase_if(others, [](const Run& run) { return run.procedure == procedure_name::half_cca_load; });
  return is_full(others, policy.procedures);
}

bool load_follows_minutes(const TicketFile& file, const Policy& policy) {
  if (!policy.triage) return false;
  const Grade so_far = grade(evidence_so_far(file), policy);
  const std::string& next = so_far.next_procedure;
  const bool is_withdrawn = next == policy.procedures.charge || next == policy.procedures.conditioning;
  return so_far.letter != 'D' && so_far.letter != 'F' && !is_withdrawn;
}

}  // namespace leadwright
