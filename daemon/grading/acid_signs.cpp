// SPDX-License-Identifier: Apache-2.0
// Marks: F found in public text, P common practice without a source. Shared domain notes, section 12.
#include "daemon/grading/acid_signs.h"

#include <algorithm>
#include <utility>

#include "daemon/battery/acid.h"
#include "daemon/battery/procedure_names.h"
#include "daemon/battery/uncertainty.h"
#include "daemon/grading/full_charge.h"

namespace leadwright {
namespace {

/// F (four sources): a cell that lies by more below the others marks a battery to be replaced, and a shorted
/// cell.
constexpr double below_most = 0.050;
/// F: a greater spread asks for a charge and another look.
constexpr double spread_most = 0.030;
/// F (army): the same is unserviceable after a full charge.
constexpr double spread_most_full = 0.025;
/// P: what a rested voltage may lie from that of its acid, of a block of six cells.
constexpr double volts_apart_most = 0.030;
/// P: as charge_flags.cpp has it, more than this of what was missing is more than a charge loses as gas.
constexpr double put_in_most = 1.25;
/// P: less than this share of the 20-hour capacity tells nothing.
constexpr double put_in_least = 0.2;

PhraseValue gravity_said(const char* name, double gravity) {
  return said_amount(name, gravity, 3, {});
}

bool surely_above(const Finding* finding, double limit) {
  return finding != nullptr && finding->value - coverage_factor * finding->u > limit;
}

/// Nothing was drawn between a completed charge and the look.
bool was_full_when_read(const Evidence& evidence, const Policy& policy) {
  const Utc at = evidence.inspection.acid->at;
  const auto later =
      std::ranges::find_if(evidence.runs, [at](const Run& run) { return run.started_at > at; });
  return is_full({evidence.runs.begin(), later}, policy.procedures);
}

/// A draw that was stopped states nothing of what it took.
bool drew_between(const Evidence& evidence, RunId one, RunId other) {
  return std::ranges::any_of(evidence.runs, [one, other](const Run& run) {
    return run.id > one && run.id < other && !only_looks(run.procedure) && !is_resistance(run.procedure);
  });
}

std::optional<Sign> by_cells(const Evidence& evidence, const Policy& policy) {
  const Finding* below = newest(evidence, Measurand::acid_cell_below);
  const Finding* spread = newest(evidence, Measurand::acid_spread);
  const auto cell = lowest_cell(*evidence.inspection.acid);
  if (!cell) return std::nullopt;
  if (surely_above(below, below_most)) {
    return Sign{SignKind::weak_cell,
                say("sign_weak_cell",
                    "The acid of cell {cell}, counted from the positive post, lies {below} below that of the "
                    "others, more than {most}: that cell is weak or shorted.",
                    {said_count("cell", *cell), gravity_said("below", below->value),
                     gravity_said("most", below_most)})};
  }
  if (surely_above(spread, spread_most_full) && was_full_when_read(evidence, policy)) {
    return Sign{SignKind::weak_cell,
                say("sign_weak_cell_full",
                    "After a full charge the acid of its cells still differs by {spread}, more than {most}, "
                    "and that of cell {cell} is the lowest: that cell is weak.",
                    {gravity_said("spread", spread->value), gravity_said("most", spread_most_full),
                     said_count("cell", *cell)})};
  }
  if (!surely_above(spread, spread_most)) return std::nullopt;
  return Sign{SignKind::uneven_cells,
              say("sign_uneven",
                  "The acid of its cells differs by {spread}, more than {most}: charge it, and read them "
                  "again before anything is made of it.",
                  {gravity_said("spread", spread->value), gravity_said("most", spread_most)})};
}

std::optional<Sign> by_volts(const Evidence& evidence) {
  const Finding* apart = newest(evidence, Measurand::ocv_above_acid);
  const Finding* spread = newest(evidence, Measurand::acid_spread);
  // One of an earlier look says nothing of this one.
  if (apart == nullptr || apart->at < evidence.inspection.acid->at) return std::nullopt;
  const double sure = coverage_factor * apart->u;
  const double most = volts_apart_most * evidence.nameplate.cells / 6.0;
  if (apart->value - sure > most) {
    return Sign{SignKind::stratification,
                say("sign_layers",
                    "It rests {volts} above what its acid gives as it was read at the top: its acid lies in "
                    "layers, weak at the top, and its voltage looks fuller than it is. A charge that mixes "
                    "the acid comes before anything is made of its voltage.",
                    {said_amount("volts", apart->value, 2, "V")})};
  }
  const bool is_even = spread != nullptr && !surely_above(spread, spread_most_full);
  if (apart->value + sure >= -most || !is_even) return std::nullopt;
  return Sign{SignKind::lacks_volts,
              say("sign_lacks_volts",
                  "The acid of its cells is even, and yet it rests {volts} below what that acid gives: a "
                  "cell begins to short, or acid was filled in where water was missing.",
                  {said_amount("volts", -apart->value, 2, "V")})};
}

}  // namespace

std::vector<Sign> acid_signs(const Evidence& evidence, const Policy& policy) {
  if (!evidence.inspection.acid) return {};
  std::vector<Sign> signs;
  for (auto sign : {by_cells(evidence, policy), by_volts(evidence)}) {
    if (sign) signs.push_back(*std::move(sign));
  }
  return signs;
}

std::optional<Sign> layers_by_charge(const Evidence& evidence) {
  const Finding* taken = newest(evidence, Measurand::returned);
  const auto& rated = evidence.nameplate.c20;
  if (taken == nullptr || !rated) return std::nullopt;
  const auto run = std::ranges::find(evidence.runs, taken->run, &Run::id);
  if (run == evidence.runs.end() || !is_completed_charge(*run)) return std::nullopt;
  // A cycle puts back what it took itself.
  if (of_same_run(evidence, Measurand::delivered, *taken) != nullptr) return std::nullopt;
  const Finding* before = charge_before(evidence, *taken);
  if (before == nullptr || drew_between(evidence, before->run, taken->run)) return std::nullopt;
  const double ah = as_ampere_hours(rated->value);
  const double missing_most = ah * (1.0 - before->value + coverage_factor * before->u);
  const double surely = taken->value - coverage_factor * taken->u;
  if (surely < put_in_least * ah || surely < put_in_most * missing_most) return std::nullopt;
  return Sign{
      SignKind::stratification,
      say("sign_layers_by_charge",
          "At rest it showed {charge} of its charge, and yet its charge put in {taken}, where that "
          "leaves {missing} missing at most: its acid lay in layers, or it makes gas or loses its "
          "charge.",
          {said_amount("charge", 100.0 * before->value, 0, "%"), said_amount("taken", taken->value, 1, "Ah"),
           said_amount("missing", missing_most, 1, "Ah")})};
}

}  // namespace leadwright
