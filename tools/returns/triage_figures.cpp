// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/triage_figures.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <utility>

#include "daemon/battery/procedure_names.h"
#include "daemon/grading/triage_rule.h"

namespace leadwright {
namespace {

/// 75 % of charge by the rule SG + 0.845 (shared domain notes, section 5: C), as the planner has it.
constexpr Volt cell_three_quarters{2.07};
/// P/M: resistance times cranking current of sound blocks lies up to 3.2 V (shared domain notes, section 6);
/// the steps above it are ours.
constexpr std::array steps{0.0, 3.2, 4.0, 5.0};

Volt step_of(Volt product) {
  double step = 0.0;
  for (const double each : steps) step = product.si() >= each ? each : step;
  return Volt(step);
}

/// Of those whose resistance was measured: what nobody measured fits any row.
std::map<std::pair<bool, double>, TriageRow> rows_of(const std::vector<RehearsedReturn>& all,
                                                     double share_least) {
  std::map<std::pair<bool, double>, TriageRow> rows;
  for (const RehearsedReturn& each : all) {
    const ReturnVisit& visit = each.visit;
    if (!visit.came || !visit.resistance || !each.one.states_cca) continue;
    const bool charged = *visit.came / each.one.make.cells >= cell_three_quarters;
    const Volt step = step_of(*visit.resistance * each.one.cca);
    TriageRow& row = rows[{charged, step.si()}];
    row.came_charged = charged;
    row.product_from = step;
    const bool by_load = each.truth.load_margin < Volt(0.0);
    const bool by_minutes = each.truth.share < share_least;
    ++row.batteries;
    row.load_fails += by_load ? 1 : 0;
    row.minutes_fail += by_minutes ? 1 : 0;
    row.both_fail += by_load && by_minutes ? 1 : 0;
  }
  return rows;
}

struct Mean {
  Second sum{0.0};
  int count = 0;
  void add(Second time) {
    sum += time;
    ++count;
  }
};

/// A charge after a load test, and a rest as it came, are other things than those after a charge.
std::map<std::string, Mean> means_of(const std::vector<RehearsedReturn>& all) {
  std::map<std::string, Mean> means;
  for (const RehearsedReturn& each : all) {
    std::string before;
    for (const RunTime& run : each.visit.times) {
      const bool is_apart =
          (run.procedure == procedure_name::charge && before == procedure_name::half_cca_load) ||
          (is_rest(run.procedure) && before == procedure_name::intake);
      means[is_apart ? run.procedure + " after the " + before : run.procedure].add(run.took);
      if (!only_looks(run.procedure) && !is_resistance(run.procedure)) before = run.procedure;
    }
  }
  return means;
}

}  // namespace

std::string triage_figures(const std::vector<RehearsedReturn>& all, double share_least) {
  std::string text("For the table triage of a policy:\n");
  for (const auto& [procedure, mean] : means_of(all))
    text +=
        fmt::format("# {}: {:.2f} h, mean of {}\n", procedure, as_hours(mean.sum / mean.count), mean.count);
  for (const auto& [of, row] : rows_of(all, share_least)) {
    text += fmt::format(
        "[[triage.seen]]\ncame = \"{}\"\nresistance_from = \"{:.1f} V\"\nbatteries = {}\nload_fails = {}\n"
        "minutes_fail = {}\nboth_fail = {}\n",
        row.came_charged ? "charged" : "discharged", row.product_from.si(), row.batteries, row.load_fails,
        row.minutes_fail, row.both_fail);
  }
  return text;
}

}  // namespace leadwright
