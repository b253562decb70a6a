// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/by_bounds.h"

#include <cmath>
#include <utility>

#include "daemon/grading/by_share.h"
#include "daemon/grading/early.h"

namespace leadwright {
namespace {

void apply_forecast(Conclusion& conclusion, const Comparison& lasted, const Finding& foretold,
                    const Policy& policy) {
  const Measured forecast{foretold.value, std::hypot(foretold.u, policy.share_c * lasted.u_rated)};
  const double limit = policy.share_c * lasted.rated;
  const Decision decision = decide_by_forecast(forecast, limit, policy.guard_factor);
  conclusion.rules.push_back(limit_rule(say("limit_by_forecast", "by forecast, not measured: limit of C"),
                                        lasted.unit, forecast, limit, decision));
  if (!policy.early_missed || decision.outcome != Conformance::does_not_conform) return;
  conclusion.letter = 'D';
  conclusion.next_procedure.clear();
  conclusion.next_why = {};
  conclusion.reason = say("stopped_by_forecast",
                          "Was stopped after {after} because by forecast, not by measurement, it gives about "
                          "{about} of reserve capacity against ",
                          {said_amount("after", std::floor(lasted.test.value), 0, "min"),
                           said_amount("about", foretold.value, 0, "min")})
                          .add(lasted.rated_said)
                          .say("worn", ": worn");
}

}  // namespace

std::optional<Conclusion> by_bounds(const Evidence& evidence, const Policy& policy) {
  const auto lasted = comparison_of_stopped(evidence, policy);
  if (!lasted) return std::nullopt;
  Conclusion conclusion = by_share(*lasted, policy);
  const Finding* foretold =
      of_same_run(evidence, Measurand::reserve_capacity_ref_forecast, *lasted->test.newest);
  if (conclusion.letter == 'U' && foretold != nullptr) apply_forecast(conclusion, *lasted, *foretold, policy);
  return conclusion;
}

}  // namespace leadwright
