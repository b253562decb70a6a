// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/rules.h"

#include <utility>

#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// Four decimals; certainty is not claimed where they round to it.
std::string probability_text(double probability) {
  if (probability > 0.99995) return "above 0.9999";
  if (probability < 0.00005) return "below 0.0001";
  return fixed(probability, 4);
}

}  // namespace

GradeRule limit_rule(std::string name, const RuleUnit& unit, const Measured& measured, double limit,
                     const Decision& decision) {
  const auto amount = [&unit](double value, int more) {
    std::string text = fixed(value, unit.decimals + more);
    return text.append(" ").append(unit.unit);
  };
  GradeRule rule;
  rule.text = name;
  rule.text.append(": ")
      .append(amount(limit, 0))
      .append("; value ")
      .append(amount(measured.value, 0))
      .append(", u ")
      .append(amount(measured.u, 1))
      .append(", guard band ")
      .append(amount(decision.guard_band, 1))
      .append("; conformance probability ")
      .append(probability_text(decision.probability))
      .append(": ")
      .append(word(decision.outcome));
  rule.rule = std::move(name);
  rule.unit = unit.unit;
  rule.limit = limit;
  rule.value = measured.value;
  rule.u = measured.u;
  rule.guard_band = decision.guard_band;
  rule.probability = decision.probability;
  rule.outcome = word(decision.outcome);
  return rule;
}

GradeRule plain_rule(std::string name, std::string text, std::string outcome) {
  GradeRule rule;
  rule.rule = std::move(name);
  rule.text = std::move(text);
  rule.outcome = std::move(outcome);
  return rule;
}

}  // namespace leadwright
