// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/grade.h"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "daemon/grading/by_bounds.h"
#include "daemon/grading/by_load.h"
#include "daemon/grading/by_share.h"
#include "daemon/grading/criterion.h"
#include "daemon/grading/flags.h"
#include "daemon/grading/keeps_charge.h"
#include "daemon/grading/warranty.h"
#include "daemon/grading/withdrawal.h"

namespace leadwright {
namespace {

std::optional<Conclusion> by_inspection(const Inspection& inspection) {
  const std::array<std::pair<bool, Sentence>, 4> unsafe{
      {{inspection.cracked, say("is_cracked", "its case is cracked")},
       {inspection.leaking, say("is_leaking", "it leaks")},
       {inspection.swollen, say("is_swollen", "its case is swollen")},
       {inspection.frozen, say("is_frozen", "it is frozen")}}};
  for (const auto& [seen, what] : unsafe) {
    if (!seen) continue;
    const Sentence rule =
        say("rule_inspection", "inspection: ").add(what).say("rule_unsafe", ", so it is unsafe to energise");
    return Conclusion{'F',
                      say("not_tested_because", "Not tested, because ").add(what).say("full_stop", "."),
                      {plain_rule("inspection", rule, "faulty")}};
  }
  return {};
}

Sentence plain(FaultKind kind) {
  switch (kind) {
    case FaultKind::shorted_cell:
      return say("has_shorted_cell", "a cell is shorted");
    case FaultKind::open_circuit:
      return say("has_open_circuit", "a connection is broken");
    case FaultKind::reversed:
      return say("has_reversed", "its poles are reversed");
    case FaultKind::wrong_cell_count:
      return say("has_wrong_cell_count", "its voltage does not fit the number of cells");
    case FaultKind::not_lead:
      return say("has_not_lead", "it does not behave like a lead battery");
    case FaultKind::takes_no_charge:
      return say("has_takes_no_charge", "it takes no charge");
    case FaultKind::fails_under_load:
      return say("has_fails_under_load", "it collapses below its cranking load");
    case FaultKind::unsafe:
      return say("has_unsafe", "it is unsafe");
  }
  return say("has_a_fault", "it has a fault");
}

/// Not what its label says: another battery, or another label.
bool is_another(const Fault& fault) {
  return fault.kind == FaultKind::wrong_cell_count || fault.kind == FaultKind::not_lead;
}

/// What a procedure's file says of a fault has no phrases.
Sentence fault_said(const Fault& fault) {
  if (!fault.said.empty()) return {fault.evidence, fault.said};
  return say("words", "{words}", {said_words("words", fault.evidence)});
}

Conclusion by_faults(const std::vector<Fault>& faults) {
  Conclusion conclusion{'F'};
  for (const Fault& fault : faults) {
    const Sentence rule =
        say("rule_fault", "fault {fault}: ", {said_words("fault", word(fault.kind))}).add(fault_said(fault));
    conclusion.rules.push_back(plain_rule("fault", rule, "faulty"));
    if (is_another(fault)) conclusion.situation = "wrong";
  }
  const Fault& first = faults.front();
  conclusion.reason = say("faulty", "Faulty: ")
                          .add(plain(first.kind))
                          .say("bracket_open", " (")
                          .add(fault_said(first))
                          .say("bracket_end", ").");
  return conclusion;
}

/// Why nothing was compared, in a clause, and what comes next.
Conclusion without_comparison(const Evidence& evidence, const Policy& policy) {
  Conclusion conclusion;
  if (const Finding* test = newest(evidence, Measurand::reserve_capacity_ref)) {
    Comparison alone;
    alone.test = {test, 1, test->value, test->u, test->u};
    conclusion.reason =
        say("gives", "Gives ")
            .add(amount_said(alone))
            .say("no_rating",
                 ", but its label states neither reserve capacity nor 20-hour capacity to compare with.");
    conclusion.situation = "unidentified";
    return conclusion;
  }
  if (newest(evidence, Measurand::reserve_capacity) != nullptr) {
    conclusion.reason =
        say("no_temperature", "Not graded: the temperature of the reserve capacity test was not measured.");
    conclusion.next_procedure = policy.procedures.capacity;
    conclusion.next_why = say("next_thermometer", "The same test with a thermometer decides.");
    return conclusion;
  }
  conclusion.reason = say("no_minutes", "Not graded: its reserve capacity was not measured.");
  if (policy.complete_discharge == CompleteDischarge::yes) {
    conclusion.next_procedure = policy.procedures.capacity;
    conclusion.next_why = say("next_minutes", "It measures what the label promises.");
    return conclusion;
  }
  conclusion.situation = "no_consent";
  conclusion.next_procedure = policy.procedures.high_rate;
  conclusion.next_why =
      policy.complete_discharge == CompleteDischarge::never
          ? say("next_never_empties", "This policy empties no battery; the load test takes some minutes.")
          : say("next_not_agreed",
                "The owner has not agreed to a complete discharge; the load test needs no consent.");
  return conclusion;
}

void add_second_life(Grade& grade, const Evidence& evidence, const Policy& policy) {
  if (grade.letter == 'F' || grade.letter == 'U') return;
  auto found = comparison_of(evidence, policy);
  if (!found) found = comparison_of_stopped(evidence, policy);
  if (!found) return;
  for (const SecondLife& life : policy.second_life) {
    const Sentence name = say("second_life_rule", "second life from {share} of the rating",
                              {said_amount("share", 100.0 * life.share, 0, "%")});
    ShareRuling ruling = share_ruling(*found, name, life.share, policy.guard_factor);
    grade.rules.push_back(std::move(ruling.rule));
    if (ruling.outcome != Conformance::conforms) continue;
    grade.second_life = life.words;
    return;
  }
}

/// A load test that fails saves the bay hours of a capacity test; who wants its minutes all the same is told.
void name_second_life(Grade& grade, const Evidence& evidence, const Policy& policy) {
  const bool is_told = comparison_of(evidence, policy) || comparison_of_stopped(evidence, policy);
  if (grade.letter != 'D' || policy.second_life.empty() || is_told) return;
  if (policy.complete_discharge == CompleteDischarge::never) return;
  grade.next_procedure = policy.procedures.capacity;
  const Sentence why = say(
      "next_second_life", "The letter stands; its minutes would tell whether it is good for something else.");
  grade.next_why = why.text();
  grade.said.next_why = why.phrases();
}

/// The label states what its minutes or its Ah should be.
bool has_rating(const Evidence& evidence, const Policy& policy) {
  const Nameplate& plate = evidence.nameplate;
  return plate.reserve_capacity || plate.c20 || policy.minutes_by_size.contains(plate.size_code);
}

/// What tests under load say; how it keeps its charge comes after.
Conclusion conclude_by_tests(const Evidence& evidence, const Policy& policy) {
  if (!evidence.faults.empty()) return by_faults(evidence.faults);
  if (auto unsafe = by_inspection(evidence.inspection)) return std::move(*unsafe);
  if (!is_lead(evidence.nameplate.chemistry)) {
    Conclusion unknown;
    unknown.reason = say(
        "perhaps_not_lead",
        "Not tested: its label does not say that it is a lead battery, and nothing else is energised here.");
    unknown.situation = evidence.nameplate.chemistry == Chemistry::unknown ? "unidentified" : "wrong";
    return unknown;
  }
  const auto load = load_ruling(evidence, policy);
  const auto found = comparison_of(evidence, policy);
  const Finding* test = found ? found->test.newest : nullptr;
  Conclusion conclusion;
  if (found) {
    conclusion = by_share(*found, policy);
  } else if (auto stopped = by_bounds(evidence, policy)) {
    conclusion = std::move(*stopped);
    test = newest(evidence, Measurand::reserve_capacity_ref_at_least);
  } else {
    conclusion = without_comparison(evidence, policy);
  }
  const char by_minutes = conclusion.letter;
  // What was stopped too early has shown nothing that the load test could lower.
  if (found || by_minutes != 'U') {
    apply_load(conclusion, load, policy);
    if (fails(load) && (by_minutes != 'D' || may_fail_by(*load->margin, evidence, policy)))
      test = load->margin;
  }
  if (test != nullptr) conclusion.reason.say("full_stop", ".");
  const bool load_may_decide =
      std::ranges::find(policy.criteria, CriterionKind::half_cca_load) != policy.criteria.end();
  if (!found && by_minutes == 'U' && load && load_may_decide) {
    const bool tested = newest(evidence, Measurand::reserve_capacity_ref) != nullptr;
    const Sentence without = tested ? say("no_rated_minutes", "its label states no minutes")
                                    : say("minutes_not_measured", "its minutes were not measured");
    conclusion = by_load_alone(*load, without, policy);
    if (!tested && conclusion.letter == 'B' && policy.minutes_required && has_rating(evidence, policy))
      ask_for_minutes(conclusion, policy);
    test = load->margin;
  }
  if (test != nullptr) withdraw_unless_fair(conclusion, evidence, policy, *test);
  return conclusion;
}

Conclusion conclude(const Evidence& evidence, const Policy& policy) {
  Conclusion conclusion = conclude_by_tests(evidence, policy);
  apply_retention(conclusion, evidence, policy);
  return conclusion;
}

std::string disposition_of(const Conclusion& conclusion, const Policy& policy) {
  const auto situation = policy.situations.find(conclusion.situation);
  if (situation != policy.situations.end()) return situation->second;
  const auto disposition = policy.dispositions.find(conclusion.letter);
  return disposition == policy.dispositions.end() ? std::string() : disposition->second;
}

}  // namespace

Grade grade(const Evidence& evidence, const Policy& policy) {
  Conclusion conclusion = conclude(evidence, policy);
  Grade grade;
  grade.letter = conclusion.letter;
  grade.reason = conclusion.reason.text();
  grade.said.reason = conclusion.reason.phrases();
  grade.disposition = disposition_of(conclusion, policy);
  grade.rules = std::move(conclusion.rules);
  grade.policy = policy.name;
  grade.policy.append(" ").append(std::to_string(policy.version));
  grade.policy_hash = policy.hash;
  grade.next_procedure = std::move(conclusion.next_procedure);
  grade.next_why = conclusion.next_why.text();
  grade.said.next_why = conclusion.next_why.phrases();
  for (const Sentence& flag : flags_of(evidence, policy)) {
    grade.flags.push_back(flag.text());
    grade.said.flags.push_back(flag.phrases());
  }
  if (policy.warranty) {
    const Sentence warranty = warranty_sentence(evidence, *policy.warranty, grade.letter);
    grade.warranty = warranty.text();
    grade.said.warranty = warranty.phrases();
  }
  add_second_life(grade, evidence, policy);
  name_second_life(grade, evidence, policy);
  return grade;
}

bool stands_by_load(const Evidence& evidence, const Policy& policy) {
  const auto load = load_ruling(evidence, policy);
  return fails(load) && may_fail_by(*load->margin, evidence, policy) &&
         conclude_by_tests(evidence, policy).letter == 'D';
}

bool is_undecided_by_load(const Evidence& evidence, const Policy& policy) {
  const bool counts =
      policy.high_rate_draw_required ||
      std::ranges::find(policy.criteria, CriterionKind::half_cca_load) != policy.criteria.end();
  const auto load = load_ruling(evidence, policy);
  return counts && load && load->outcome == Conformance::undecided && !load->needs_cca;
}

std::optional<Utc> stands_until(const Evidence& evidence, const Policy& policy) {
  if (!policy.retention) return std::nullopt;
  if (!keeps_in_service(conclude_by_tests(evidence, policy).letter)) return std::nullopt;
  return next_look_at(evidence, policy);
}

}  // namespace leadwright
