// SPDX-License-Identifier: Apache-2.0
// Marks: F found in public text, P common practice without a source, M from memory.
#include "daemon/grading/signs.h"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "daemon/battery/uncertainty.h"
#include "daemon/grading/acid_signs.h"
#include "daemon/grading/dry_out_sign.h"

namespace leadwright {
namespace {

/// P/M: sound blocks lie at resistance x cold cranking current = 2.4 to 3.2 V (shared domain notes, section
/// 6).
constexpr Volt usual_highest{3.2};
/// F: a resistance 25 to 50 % above that of a sound battery marks corrosion (shared domain notes, section
/// 12).
constexpr double raised_share = 1.4;
/// F/P: more than 20 to 30 mV a day at rest (shared domain notes, section 12).
constexpr double falls_most_mv_per_day = 30.0;

/// Volts at which resistance times cranking current stands, where both are known and it is raised.
std::optional<Volt> raised_product(const Evidence& evidence) {
  const Finding* resistance = newest(evidence, Measurand::resistance);
  const auto& cca = evidence.nameplate.cca;
  if (resistance == nullptr || !cca) return std::nullopt;
  const Ohm surely{resistance->value - coverage_factor * resistance->u};
  if (surely * cca->value < usual_highest * raised_share) return std::nullopt;
  return Ohm(resistance->value) * cca->value;
}

PhraseValue times_usual(Volt product) {
  return said_amount("times", product / usual_highest, 1, {});
}

std::optional<Sign> by_three_minutes(const Evidence& evidence) {
  const Finding* margin = newest(evidence, Measurand::charge_margin);
  if (margin == nullptr || margin->value + coverage_factor * margin->u >= 0.0) return std::nullopt;
  return Sign{SignKind::sulphation,
              say("sign_three_minutes",
                  "In the three-minute charge its voltage rose {volts} above what a sound battery shows: its "
                  "plates are sulphated.",
                  {said_amount("volts", -margin->value, 2, "V")})};
}

bool is_full_by_rest(const Finding& charge) {
  return charge.value + coverage_factor * charge.u >= 1.0;
}

std::optional<Volt> raised_when_full(const Evidence& evidence) {
  const Finding* charge = newest(evidence, Measurand::soc);
  return charge != nullptr && is_full_by_rest(*charge) ? raised_product(evidence) : std::nullopt;
}

/// After a finished charge it is either full and resistive, or not full and resistive.
std::optional<Sign> by_resistance(const Evidence& evidence, const Policy& policy) {
  const auto product = raised_product(evidence);
  const Finding* charge = newest(evidence, Measurand::soc);
  if (!product || charge == nullptr) return std::nullopt;
  if (is_full_by_rest(*charge)) {
    return Sign{SignKind::resistive_when_full,
                say("sign_resistive",
                    "It is full, and its resistance is {times} times the highest that is usual for its "
                    "cranking current: clamps and posts apart, its grids or straps are corroded, or acid is "
                    "missing.",
                    {times_usual(*product)})};
  }
  if (!has_completed(evidence, policy.procedures.charge, *charge)) return std::nullopt;
  return Sign{SignKind::sulphation,
              say("sign_sulphated",
                  "After a finished charge it rests at only {charge} and its resistance is {times} times the "
                  "highest that is usual for its cranking current: its plates are sulphated.",
                  {said_amount("charge", 100.0 * charge->value, 0, "%"), times_usual(*product)})};
}

std::optional<Sign> by_rest(const Evidence& evidence) {
  const Finding* slope = newest(evidence, Measurand::rest_slope);
  if (slope == nullptr || slope->value + coverage_factor * slope->u >= -falls_most_mv_per_day)
    return std::nullopt;
  return Sign{SignKind::self_discharge,
              say("sign_falls",
                  "At rest it falls by {falls} a day, more than the {most} of a sound one: it discharges "
                  "itself.",
                  {said_amount("falls", -slope->value, 0, "mV"),
                   said_amount("most", falls_most_mv_per_day, 0, "mV")})};
}

}  // namespace

const char* word(SignKind kind) {
  constexpr std::array words{"sulphation",   "resistive_when_full", "self_discharge", "weak_cell",
                             "uneven_cells", "stratification",      "lacks_volts",    "dry_out"};
  return words[static_cast<std::size_t>(kind)];
}

std::vector<Sign> signs_of(const Evidence& evidence, const Policy& policy) {
  std::vector<Sign> signs;
  const auto keep = [&signs](std::optional<Sign> sign) {
    if (sign) signs.push_back(*std::move(sign));
  };
  keep(by_three_minutes(evidence));
  if (signs.empty()) keep(dry_out_sign(evidence, policy, raised_when_full(evidence)));
  if (signs.empty()) keep(by_resistance(evidence, policy));
  keep(by_rest(evidence));
  for (Sign& sign : acid_signs(evidence, policy)) signs.push_back(std::move(sign));
  if (std::ranges::find(signs, SignKind::stratification, &Sign::kind) == signs.end())
    keep(layers_by_charge(evidence));
  return signs;
}

}  // namespace leadwright
