// SPDX-License-Identifier: Apache-2.0
// Marks: F found in public text, P common practice without a source.
#include "daemon/grading/charge_flags.h"

#include <cmath>

#include "daemon/battery/procedure_names.h"
#include "daemon/battery/uncertainty.h"
#include "daemon/grading/full_charge.h"

namespace leadwright {
namespace {

/// P: less than was taken was put back, by more than two full charges differ.
constexpr double factor_lowest = 0.95;
/// F: 1.05 to 1.15 for flooded batteries (shared domain notes, section 8); P: a tenth more is pointed out.
constexpr double factor_highest = 1.25;

const Finding* newest_before(const Evidence& evidence, RunId run) {
  const Finding* best = nullptr;
  for (const Finding& finding : evidence.findings) {
    const bool is_before = finding.measurand == Measurand::reserve_capacity_ref && finding.run < run;
    if (is_before && (best == nullptr || finding.run > best->run)) best = &finding;
  }
  return best;
}

Sentence factor_said(const ChargeFactor& factor) {
  const std::vector<PhraseValue> times{said_amount("times", factor.value, 2, {})};
  if (factor.value < factor_lowest) {
    return say(
        "flag_put_back_little",
        "Its charge put back only {times} of what the discharge before it took: it is not full, or a clamp "
        "ended the charge early.",
        times);
  }
  return say(
      "flag_put_back_much",
      "Its charge put back {times} times what the discharge before it took, more than is usual: it makes "
      "gas, or loses its charge.",
      times);
}

Sentence gain_said(const RecoveryGain& gain) {
  const double gained = gain.after_min - gain.before_min;
  Sentence text =
      say("flag_gain", "Its conditioning cycle changed its reserve capacity from {before} to {after}",
          {said_amount("before", gain.before_min, 1, "min"), said_amount("after", gain.after_min, 1, "min")});
  if (std::abs(gained) < coverage_factor * gain.u_min)
    return text.say("flag_gain_none", ", no more than two tests of one battery differ.");
  return text.say("full_stop", ".");
}

}  // namespace

std::optional<ChargeFactor> charge_factor_of(const Evidence& evidence, const Policy& policy) {
  const Finding* taken = newest(evidence, Measurand::delivered);
  const Finding* given = newest(evidence, Measurand::returned);
  if (taken == nullptr || given == nullptr || given->run <= taken->run || taken->value <= 0.0) return {};
  for (const Run& run : evidence.runs) {
    const bool is_between = run.id > taken->run && run.id < given->run;
    if (is_between && !only_looks(run.procedure)) return {};
  }
  if (!began_full(evidence, *taken, policy.procedures)) return {};
  const double factor = given->value / taken->value;
  return ChargeFactor{factor, factor * std::hypot(given->u / given->value, taken->u / taken->value)};
}

std::optional<RecoveryGain> recovery_gain_of(const Evidence& evidence, const Policy& policy) {
  const RunId cycled = last_completed(evidence, policy.procedures.conditioning);
  const Finding* after = newest(evidence, Measurand::reserve_capacity_ref);
  if (cycled == RunId{} || after == nullptr || after->run < cycled) return {};
  const Finding* before = newest_before(evidence, cycled);
  if (before == nullptr) return {};
  return RecoveryGain{before->value, after->value, std::hypot(before->u, after->u)};
}

std::vector<Sentence> charge_flags(const Evidence& evidence, const Policy& policy) {
  std::vector<Sentence> flags;
  if (const auto factor = charge_factor_of(evidence, policy)) {
    const double sure = coverage_factor * factor->u;
    if (factor->value + sure < factor_lowest || factor->value - sure > factor_highest)
      flags.push_back(factor_said(*factor));
  }
  if (const auto gain = recovery_gain_of(evidence, policy)) flags.push_back(gain_said(*gain));
  return flags;
}

}  // namespace leadwright
