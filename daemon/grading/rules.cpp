// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/rules.h"

#include <utility>

namespace leadwright {
namespace {

/// Four decimals; certainty is not claimed where they round to it.
Sentence probability_said(double probability) {
  if (probability > 0.99995) return say("probability_above", "; conformance probability above 0.9999");
  if (probability < 0.00005) return say("probability_below", "; conformance probability below 0.0001");
  return say("probability", "; conformance probability {p}", {said_amount("p", probability, 4, {})});
}

Sentence outcome_said(Conformance outcome) {
  if (outcome == Conformance::conforms) return say("conforms", ": conforms");
  if (outcome == Conformance::does_not_conform) return say("does_not_conform", ": does not conform");
  return say("undecided", ": undecided");
}

}  // namespace

GradeRule limit_rule(const Sentence& name, const RuleUnit& unit, const Measured& measured, double limit,
                     const Decision& decision) {
  const auto amount = [&unit](const char* of, double value, int more) {
    return said_amount(of, value, unit.decimals + more, unit.unit);
  };
  Sentence sentence = name;
  sentence
      .say("rule_numbers", ": {limit}; value {value}, u {u}, guard band {guard_band}",
           {amount("limit", limit, 0), amount("value", measured.value, 0), amount("u", measured.u, 1),
            amount("guard_band", decision.guard_band, 1)})
      .add(probability_said(decision.probability))
      .add(outcome_said(decision.outcome));
  GradeRule rule = plain_rule(name.text(), sentence, word(decision.outcome));
  rule.unit = unit.unit;
  rule.limit = limit;
  rule.value = measured.value;
  rule.u = measured.u;
  rule.guard_band = decision.guard_band;
  rule.probability = decision.probability;
  return rule;
}

GradeRule plain_rule(std::string name, const Sentence& sentence, std::string outcome) {
  GradeRule rule;
  rule.rule = std::move(name);
  rule.text = sentence.text();
  rule.outcome = std::move(outcome);
  rule.said = sentence.phrases();
  return rule;
}

}  // namespace leadwright
