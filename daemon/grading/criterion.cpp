// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/criterion.h"

#include <utility>

#include "daemon/battery/reserve_capacity.h"

namespace leadwright {
namespace {

/// Of the reserve capacity computed from C20, relative: published pairs of ratings lie up to 17 % from the
/// formula (shared domain notes, section 2; C), taken as a rectangular distribution.
constexpr double u_criterion_from_c20 = 0.10;

Comparison against(const TestResult& test, double rated, Sentence said) {
  Comparison found;
  found.test = test;
  found.rated = rated;
  found.rated_said = std::move(said);
  return found;
}

Sentence rated_said(double amount, const char* unit) {
  return say("rated", "the rated {rated}", {said_amount("rated", amount, 0, unit)});
}

std::optional<Comparison> by_c20(const Evidence& evidence, const std::optional<TestResult>& minutes_test,
                                 const Policy& policy) {
  const auto& label = evidence.nameplate.c20;
  if (!label) return std::nullopt;
  const double rated_ah = as_ampere_hours(label->value);
  const auto test = mean_of_tests(evidence, Measurand::capacity_20h_ref, policy.procedures);
  if (test) {
    Comparison found = against(*test, rated_ah, rated_said(rated_ah, "Ah"));
    found.unit.unit = "Ah";
    return found;
  }
  const double derived = as_minutes(reserve_capacity_from_c20(label->value));
  if (!minutes_test || derived <= 0.0) return std::nullopt;
  Comparison derived_minutes =
      against(*minutes_test, derived,
              say("rated_derived", "about {derived} derived from the rated {rated}",
                  {said_amount("derived", derived, 0, "min"), said_amount("rated", rated_ah, 0, "Ah")}));
  derived_minutes.u_rated = u_criterion_from_c20 * derived;
  return derived_minutes;
}

std::optional<Comparison> by_criteria(const Evidence& evidence, const std::optional<TestResult>& test,
                                      const Policy& policy) {
  for (const CriterionKind kind : policy.criteria) {
    const auto& label = evidence.nameplate.reserve_capacity;
    if (kind == CriterionKind::reserve_capacity && test && label) {
      const double rated = as_minutes(label->value);
      return against(*test, rated, rated_said(rated, "min"));
    }
    if (kind == CriterionKind::capacity_20h) {
      if (auto found = by_c20(evidence, test, policy)) return found;
    }
    const auto size = policy.minutes_by_size.find(evidence.nameplate.size_code);
    if (kind == CriterionKind::size && test && size != policy.minutes_by_size.end()) {
      const double usual = as_minutes(size->second);
      return against(*test, usual,
                     say("rated_by_size", "the {rated} that this policy asks of its size",
                         {said_amount("rated", usual, 0, "min")}));
    }
  }
  return std::nullopt;
}

}  // namespace

std::optional<Comparison> comparison_of(const Evidence& evidence, const Policy& policy) {
  return by_criteria(evidence, mean_of_tests(evidence, Measurand::reserve_capacity_ref, policy.procedures),
                     policy);
}

std::optional<Comparison> comparison_of_stopped(const Evidence& evidence, const Policy& policy) {
  const Finding* least = newest(evidence, Measurand::reserve_capacity_ref_at_least);
  if (least == nullptr) return std::nullopt;
  auto found = by_criteria(evidence, TestResult{least, 1, least->value, least->u, least->u}, policy);
  if (found) found->at_least = true;
  return found;
}

}  // namespace leadwright
