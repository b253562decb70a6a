// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/grade.h"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "daemon/battery/uncertainty.h"
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
  const std::array<std::pair<bool, const char*>, 4> unsafe{{{inspection.cracked, "its case is cracked"},
                                                            {inspection.leaking, "it leaks"},
                                                            {inspection.swollen, "its case is swollen"},
                                                            {inspection.frozen, "it is frozen"}}};
  for (const auto& [seen, what] : unsafe) {
    if (!seen) continue;
    std::string sentence("inspection: ");
    sentence.append(what).append(", so it is unsafe to energise");
    return Conclusion{'F',
                      std::string("Not tested, because ").append(what).append("."),
                      {plain_rule("inspection", std::move(sentence), "faulty")}};
  }
  return {};
}

const char* plain(FaultKind kind) {
  switch (kind) {
    case FaultKind::shorted_cell:
      return "a cell is shorted";
    case FaultKind::open_circuit:
      return "a connection is broken";
    case FaultKind::reversed:
      return "its poles are reversed";
    case FaultKind::wrong_cell_count:
      return "its voltage does not fit the number of cells";
    case FaultKind::not_lead:
      return "it does not behave like a lead battery";
    case FaultKind::takes_no_charge:
      return "it takes no charge";
    case FaultKind::fails_under_load:
      return "it collapses below its cranking load";
    case FaultKind::unsafe:
      return "it is unsafe";
  }
  return "it has a fault";
}

/// Not what its label says: another battery, or another label.
bool is_another(const Fault& fault) {
  return fault.kind == FaultKind::wrong_cell_count || fault.kind == FaultKind::not_lead;
}

Conclusion by_faults(const std::vector<Fault>& faults) {
  Conclusion conclusion{'F', {}};
  for (const Fault& fault : faults) {
    std::string sentence("fault ");
    sentence.append(word(fault.kind)).append(": ").append(fault.evidence);
    conclusion.rules.push_back(plain_rule("fault", std::move(sentence), "faulty"));
    if (is_another(fault)) conclusion.situation = "wrong";
  }
  const Fault& first = faults.front();
  conclusion.reason =
      std::string("Faulty: ").append(plain(first.kind)).append(" (").append(first.evidence).append(").");
  return conclusion;
}

/// Why nothing was compared, in a clause, and what comes next.
Conclusion without_comparison(const Evidence& evidence, const Policy& policy) {
  Conclusion conclusion;
  if (const Finding* test = newest(evidence, Measurand::reserve_capacity_ref)) {
    Comparison alone;
    alone.test = {test, 1, test->value, test->u, test->u};
    conclusion.reason = std::string("Gives ")
                            .append(amount_text(alone))
                            .append(
                                ", but its label states neither reserve capacity nor 20-hour capacity to "
                                "compare with.");
    conclusion.situation = "unidentified";
    return conclusion;
  }
  if (newest(evidence, Measurand::reserve_capacity) != nullptr) {
    conclusion.reason = "Not graded: the temperature of the reserve capacity test was not measured.";
    conclusion.next_procedure = policy.procedures.capacity;
    conclusion.next_why = "The same test with a thermometer decides.";
    return conclusion;
  }
  conclusion.reason = "Not graded: its reserve capacity was not measured.";
  if (policy.complete_discharge == CompleteDischarge::yes) {
    conclusion.next_procedure = policy.procedures.capacity;
    conclusion.next_why = "It measures what the label promises.";
    return conclusion;
  }
  conclusion.situation = "no_consent";
  conclusion.next_procedure = policy.procedures.high_rate;
  conclusion.next_why =
      policy.complete_discharge == CompleteDischarge::never
          ? "This policy empties no battery; the load test takes some minutes."
          : "The owner has not agreed to a complete discharge; the load test needs no consent.";
  return conclusion;
}

void add_second_life(Grade& grade, const Evidence& evidence, const Policy& policy) {
  if (grade.letter == 'F' || grade.letter == 'U') return;
  auto found = comparison_of(evidence, policy);
  if (!found) found = comparison_of_stopped(evidence, policy);
  if (!found) return;
  for (const SecondLife& life : policy.second_life) {
    std::string name("second life from ");
    name.append(fixed(100.0 * life.share, 0)).append(" % of the rating");
    ShareRuling ruling = share_ruling(*found, std::move(name), life.share, policy.guard_factor);
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
  grade.next_why = "The letter stands; its minutes would tell whether it is good for something else.";
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
    unknown.reason =
        "Not tested: its label does not say that it is a lead battery, and nothing else is energised here.";
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
  if (test != nullptr) conclusion.reason.append(".");
  const bool load_may_decide =
      std::ranges::find(policy.criteria, CriterionKind::half_cca_load) != policy.criteria.end();
  if (!found && by_minutes == 'U' && load && load_may_decide) {
    const bool tested = newest(evidence, Measurand::reserve_capacity_ref) != nullptr;
    conclusion = by_load_alone(
        *load, tested ? "its label states no minutes" : "its minutes were not measured", policy);
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
  grade.reason = std::move(conclusion.reason);
  grade.disposition = disposition_of(conclusion, policy);
  grade.rules = std::move(conclusion.rules);
  grade.policy = policy.name;
  grade.policy.append(" ").append(std::to_string(policy.version));
  grade.policy_hash = policy.hash;
  grade.next_procedure = std::move(conclusion.next_procedure);
  grade.next_why = std::move(conclusion.next_why);
  grade.flags = flags_of(evidence, policy);
  if (policy.warranty) grade.warranty = warranty_sentence(evidence, *policy.warranty, grade.letter);
  add_second_life(grade, evidence, policy);
  name_second_life(grade, evidence, policy);
  return grade;
}

bool stands_by_load(const Evidence& evidence, const Policy& policy) {
  const auto load = load_ruling(evidence, policy);
  return fails(load) && may_fail_by(*load->margin, evidence, policy) &&
         conclude_by_tests(evidence, policy).letter == 'D';
}

std::optional<Utc> stands_until(const Evidence& evidence, const Policy& policy) {
  if (!policy.retention) return std::nullopt;
  if (!keeps_in_service(conclude_by_tests(evidence, policy).letter)) return std::nullopt;
  return next_look_at(evidence, policy);
}

}  // namespace leadwright
