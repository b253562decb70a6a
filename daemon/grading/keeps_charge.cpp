// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/keeps_charge.h"

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "daemon/battery/procedure_names.h"
#include "daemon/grading/rules.h"

namespace leadwright {
namespace {

/// When energy last flowed; zero if it never did.
Utc last_moved(const Evidence& evidence) {
  Utc at;
  for (const Run& run : evidence.runs) {
    if (!only_looks(run.procedure)) at = std::max(at, run.ended_at.value_or(run.started_at));
  }
  return at;
}

const Run* run_of(const Evidence& evidence, const Finding& finding) {
  const auto found = std::ranges::find(evidence.runs, finding.run, &Run::id);
  return found == evidence.runs.end() ? nullptr : &*found;
}

double part_of(const Finding& finding, std::string_view quantity) {
  const auto line = std::ranges::find(finding.budget, quantity, &BudgetLine::quantity);
  return line == finding.budget.end() ? 0.0 : line->u;
}

StandingLook look_of(const Evidence& evidence, const Finding& ocv, const Run& run) {
  StandingLook look{Volt(ocv.value), Volt(part_of(ocv, "voltmeter")), Volt(part_of(ocv, "noise")), {}, {},
                    ocv.at};
  if (look.u_meter <= Volt(0.0)) look.u_meter = Volt(ocv.u);
  if (const Finding* degrees = of_same_run(evidence, Measurand::temperature, ocv))
    look.battery = Celsius(degrees->value);
  // Which of a place's instruments has the voltmeter is not known here: all are the same, or it may be
  // another.
  for (const UsedInstrument& used : run.instruments) look.meter.append(used.identity).append(";");
  return look;
}

/// In order of time, those that count.
std::vector<StandingLook> looks_of(const Evidence& evidence, const RetentionRule& rule) {
  const Utc from = last_moved(evidence) + rule.settles;
  std::vector<StandingLook> looks;
  for (const Finding& finding : evidence.findings) {
    const Run* run = run_of(evidence, finding);
    if (finding.measurand != Measurand::ocv || run == nullptr || run->procedure != procedure_name::standing)
      continue;
    if (finding.at >= from) looks.push_back(look_of(evidence, finding, *run));
  }
  std::ranges::sort(looks, {}, &StandingLook::at);
  return looks;
}

Decision decision_of(const FallAtRest& fall, const RetentionRule& rule, double guard_factor) {
  return decide({-fall.mv_per_day, fall.u}, -rule.falls_most_mv_per_day, guard_factor);
}

PhraseValue fall_of(const char* name, double mv_per_day) {
  return said_amount(name, mv_per_day, 1, "mV");
}

void undecide(Conclusion& conclusion, const Sentence& why, Sentence next_why) {
  conclusion.letter = 'U';
  conclusion.reason.go_on(why);
  conclusion.next_procedure = procedure_name::standing;
  conclusion.next_why = std::move(next_why);
}

}  // namespace

std::optional<double> chance_of_self_discharge(const Evidence& evidence, const Policy& policy) {
  const auto& rule = policy.retention;
  const auto first = std::ranges::find(evidence.findings, Measurand::ocv, &Finding::measurand);
  if (!rule || rule->share >= 1.0) return std::nullopt;
  double odds = rule->share / (1.0 - rule->share);
  if (first != evidence.findings.end() && evidence.nameplate.cells > 0) {
    const bool is_flat = Volt(first->value) < rule->flat_cell * evidence.nameplate.cells;
    odds *= is_flat ? rule->came_flat : rule->came_charged;
  }
  return odds / (1.0 + odds);
}

bool is_worth_watching(const Evidence& evidence, const Policy& policy) {
  const auto chance = chance_of_self_discharge(evidence, policy);
  return chance && policy.retention->wrong * *chance > policy.retention->costs;
}

std::optional<FallAtRest> fall_seen(const Evidence& evidence, const RetentionRule& rule) {
  const Utc moved = last_moved(evidence);
  const Finding* slope = newest(evidence, Measurand::rest_slope);
  if (slope != nullptr && slope->at >= moved) return FallAtRest{-slope->value, slope->u, slope->at - moved};
  const auto looks = looks_of(evidence, rule);
  if (looks.size() < 2 || looks.back().at - looks.front().at < rule.stands) return std::nullopt;
  return fall_between(looks.front(), looks.back(), evidence.nameplate.cells);
}

bool keeps_in_service(char letter) {
  return letter == 'A' || letter == 'B' || letter == 'C';
}

std::optional<Utc> next_look_at(const Evidence& evidence, const Policy& policy) {
  if (!is_worth_watching(evidence, policy)) return std::nullopt;
  const RetentionRule& rule = *policy.retention;
  if (const auto fall = fall_seen(evidence, rule)) {
    const Decision decision = decision_of(*fall, rule, policy.guard_factor);
    if (decision.outcome != Conformance::undecided || fall->over >= rule.stands_most) return std::nullopt;
  }
  const auto looks = looks_of(evidence, rule);
  return looks.empty() ? last_moved(evidence) + rule.settles : looks.back().at + rule.stands;
}

void apply_retention(Conclusion& conclusion, const Evidence& evidence, const Policy& policy) {
  if (!policy.retention || !keeps_in_service(conclusion.letter)) return;
  const RetentionRule& rule = *policy.retention;
  const auto fall = fall_seen(evidence, rule);
  if (!fall) {
    if (!is_worth_watching(evidence, policy)) return;
    conclusion.rules.push_back(
        plain_rule("keeps its charge",
                   say("rule_not_watched",
                       "keeps its charge: not watched, though a chance of {chance} that it does not, times "
                       "{wrong} for a "
                       "wrong verdict, is more than {costs} for two looks",
                       {said_amount("chance", 100.0 * *chance_of_self_discharge(evidence, policy), 1, "%"),
                        said_amount("wrong", as_minutes(rule.wrong), 0, "min"),
                        said_amount("costs", as_minutes(rule.costs), 0, "min")}),
                   "undecided"));
    return undecide(conclusion, say("but_not_watched", "; but nobody saw whether it keeps its charge."),
                    say("next_two_looks",
                        "It came flat and nothing else is wrong with it: two looks at it on the shelf tell "
                        "why."));
  }
  const Decision decision = decision_of(*fall, rule, policy.guard_factor);
  GradeRule numbers = limit_rule(say("rest_rule", "change at rest at 20 degC, in a day"), {"mV", 1},
                                 {-fall->mv_per_day, fall->u}, -rule.falls_most_mv_per_day, decision);
  conclusion.rules.push_back(std::move(numbers));
  if (decision.outcome == Conformance::conforms) {
    conclusion.reason.go_on(say("keeps_charge", "; keeps its charge on the shelf."));
    return;
  }
  const PhraseValue falls = fall_of("falls", fall->mv_per_day);
  if (decision.outcome == Conformance::undecided) {
    return undecide(conclusion,
                    say("but_falls_too_near",
                        "; but at rest it falls by {falls} a day, too near to {limit} a day to decide.",
                        {falls, fall_of("limit", rule.falls_most_mv_per_day)}),
                    say("next_looks_apart", "Looks further apart, at the same meter, make it surer."));
  }
  conclusion.letter = 'D';
  conclusion.next_procedure.clear();
  conclusion.next_why = {};
  conclusion.reason.go_on(
      say("but_falls", "; but at rest it falls by {falls} a day: it discharges itself.", {falls}));
}

}  // namespace leadwright
