// SPDX-License-Identifier: Apache-2.0
// Marks: F found in public text, P common practice without a source. Shared domain notes,
// section 12: slightly high voltage, raised resistance, weight down.
#include "daemon/grading/dry_out_sign.h"

#include <string_view>
#include <vector>

#include "daemon/battery/uncertainty.h"
#include "daemon/grading/criterion.h"
#include "protocol/ascii.h"

namespace leadwright {
namespace {

/// P: of a scale at a counter.
constexpr double scale_limit_kg = 0.2;
/// P: more than this below its own earlier weight is more than two scales differ.
constexpr double lost_since_most_kg = 0.5;
/// F: makers' tables of AGM end at 13.2 V.
constexpr Volt held_acid_rests_most{2.20};
constexpr Volt usual_product_most{3.2};  // as signs.cpp has it

void add_weight(const Evidence& evidence, const Policy& policy, Sentence& shown) {
  const auto& weight = evidence.inspection.weight_kg;
  if (!weight) return;
  const double at_most = *weight + coverage_factor * rectangular(scale_limit_kg);
  const PhraseValue weighs = said_amount("weight", *weight, 1, "kg");
  const auto& earlier = evidence.earlier_weight_kg;
  if (earlier && *earlier - *weight > lost_since_most_kg) {
    shown.say("dry_lighter", " it weighs {weight}, and weighed {earlier} at an earlier visit;",
              {weighs, said_amount("earlier", *earlier, 1, "kg")});
    return;
  }
  const auto usual = policy.usual.weight_kg.find(upper_ascii(std::string_view(evidence.nameplate.size_code)));
  if (usual == policy.usual.weight_kg.end() || at_most >= usual->second * (1.0 - policy.usual.weight_lost))
    return;
  shown.say("dry_light", " it weighs {weight}, where {usual} are usual for its size;",
            {weighs, said_amount("usual", usual->second, 1, "kg")});
}

void add_rest(const Evidence& evidence, const Policy& policy, Sentence& shown) {
  const Finding* ocv = newest(evidence, Measurand::ocv);
  if (ocv == nullptr || !ocv->conditions.starts_with("rested")) return;
  const Chemistry chemistry = evidence.nameplate.chemistry;
  const bool is_free = chemistry == Chemistry::flooded || chemistry == Chemistry::efb;
  const Volt most =
      (is_free ? policy.usual.free_acid_rests_most : held_acid_rests_most) * evidence.nameplate.cells;
  if (Volt(ocv->value - coverage_factor * ocv->u) <= most) return;
  shown.say("dry_rests_high", " it rests at {volts}, above the {most} of a full one;",
            {said_amount("volts", ocv->value, 2, "V"), said_amount("most", most.si(), 2, "V")});
}

/// What shows by itself that water is missing, a clause each.
Sentence water_missing(const Evidence& evidence, const Policy& policy) {
  Sentence shown;
  if (evidence.inspection.electrolyte_low) shown.say("dry_plates", " its plates stand above the acid;");
  add_weight(evidence, policy, shown);
  const Finding* gravity = newest(evidence, Measurand::acid_gravity);
  if (gravity != nullptr && gravity->value - coverage_factor * gravity->u > policy.usual.gravity_most) {
    shown.say("dry_strong", " its acid has {gravity}, more than any is filled with;",
              {said_amount("gravity", gravity->value, 3, {})});
  }
  add_rest(evidence, policy, shown);
  return shown;
}

/// What it costs: minutes that surely lie below the policy's last letter in service.
Sentence minutes_missing(const Evidence& evidence, const Policy& policy) {
  Sentence shown;
  const auto found = comparison_of(evidence, policy);
  if (!found || found->rated <= 0.0) return shown;
  if (found->test.value + coverage_factor * found->test.u >= policy.share_c * found->rated) return shown;
  shown.say("dry_gives", " it gives {share} of its rating;",
            {said_amount("share", 100.0 * found->test.value / found->rated, 0, "%")});
  return shown;
}

}  // namespace

std::optional<Sign> dry_out_sign(const Evidence& evidence, const Policy& policy,
                                 std::optional<Volt> raised_product) {
  const Sentence water = water_missing(evidence, policy);
  if (water.empty()) return std::nullopt;
  const Sentence minutes = minutes_missing(evidence, policy);
  if (!raised_product && minutes.empty()) return std::nullopt;
  Sentence told = say("sign_dry", "It has lost water:");
  told.add(water);
  if (raised_product) {
    told.say("dry_resists",
             " its resistance is {times} times the highest that is usual for its cranking current;",
             {said_amount("times", *raised_product / usual_product_most, 1, {})});
  }
  told.add(minutes).say("dry_end", " so dry-out comes before wear or corrosion as its cause.");
  return Sign{SignKind::dry_out, told};
}

}  // namespace leadwright
