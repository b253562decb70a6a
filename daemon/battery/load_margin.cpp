// SPDX-License-Identifier: Apache-2.0
// Marks: F found in public text, P common practice without a source, M from memory, C calculated.
#include "daemon/battery/load_margin.h"

#include <cmath>
#include <string>
#include <utility>

#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// F: published tables of the least voltage differ by 0.1 V for six cells near room temperature (shared
/// domain notes, introduction: 9.6 V at 70 degF against 9.7 V at 80 degF).
constexpr Volt tables_differ_cell{0.1 / 6.0};
/// M: what an extrapolated drop may be off, as for a load test that is estimated.
constexpr double u_usual_extrapolation = 0.15;

/// Change of the least voltage with temperature, V/K, at this place of the table.
double least_per_kelvin(Celsius battery, int cells) {
  const auto warmer = half_cca_minimum(battery + Kelvin(1.0), cells);
  const auto here = half_cca_minimum(battery, cells);
  return warmer && here ? (*warmer - *here).si() : 0.0;
}

/// What the comparison adds to the budget of the voltage.
std::vector<BudgetLine> doubts_of(Volt drop, const LoadLimit& limit) {
  const double u_temperature = std::hypot(rectangular(limit.accuracy.temperature_absolute).si(),
                                          limit.settings.u_case_to_electrolyte.si());
  const int cells = limit.nameplate.cells;
  const double per_kelvin = least_per_kelvin(limit.battery, cells);
  const double repeats = limit.settings.u_battery_repeatability;
  const Volt differ = tables_differ_cell * static_cast<double>(cells);
  return {{"temperature", fixed(u_temperature, 2) + " K", u_temperature * per_kelvin,
           fixed(limit.battery.degc(), 1) + " degC", sensitivity_text(per_kelvin, "V/K")},
          {std::string(battery_repeatability), fixed(100.0 * repeats, 1) + " % of its drop",
           repeats * drop.si(), fixed(drop.si(), 2) + " V", "1 V/V"},
          {"least voltage", fixed(differ.si(), 2) + " V rect., published tables", rectangular(differ.si()),
           fixed(limit.least.si(), 3) + " V", "1 V/V"}};
}

void add(std::vector<BudgetLine>& budget, std::vector<BudgetLine> more) {
  for (BudgetLine& line : more) budget.push_back(std::move(line));
}

Finding compared(const Finding& at_load, Measurand measurand, Volt volts, const LoadLimit& limit) {
  Finding margin = at_load;
  margin.measurand = measurand;
  margin.value = (volts - limit.least).si();
  margin.conditions += "; least " + fixed(limit.least.si(), 3) + " V";
  return margin;
}

Finding usual_margin(const LoadTest& test, const Finding& at_load, std::vector<BudgetLine> budget,
                     const LoadLimit& limit) {
  const double per_ah = limit.settings.usual_cca_per_ah;
  const Ampere usual{0.5 * per_ah * as_ampere_hours(limit.nameplate.c20->value)};
  const double factor = usual / test.loaded.amps;
  Finding margin = compared(at_load, Measurand::load_margin_usual,
                            extrapolated(test.rest.mean, test.loaded.volts, factor), limit);
  margin.method = "estimated for " + fixed(usual.si(), 0) + " A, half of " + fixed(per_ah, 1) +
                  " A of CCA for each Ah, which is usual, as V0 - R I, R from " +
                  fixed(test.loaded.amps.si(), 1) + " A of the same trace";
  for (BudgetLine& line : budget) line.u *= factor;
  const Volt added = test.drop() * (factor - 1.0);
  budget.push_back({"extrapolation", "15 % of the added drop, from memory",
                    u_usual_extrapolation * added.si(), fixed(added.si(), 2) + " V", "1 V/V"});
  add(budget, doubts_of(test.drop() * factor, limit));
  return with_budget(std::move(margin), std::move(budget));
}

}  // namespace

std::vector<Finding> load_margins(const LoadTest& test, const Finding& at_load,
                                  const std::vector<BudgetLine>& budget, const LoadLimit& limit) {
  std::vector<BudgetLine> of_margin = budget;
  add(of_margin, doubts_of(test.drop() * test.reach(), limit));
  std::vector<Finding> margins{
      with_budget(compared(at_load, Measurand::load_margin, test.volts, limit), std::move(of_margin))};
  const bool is_drawn = !test.estimated && !test.loaded.ended_early;
  if (test.wanted.is_by_capacity && is_drawn) margins.push_back(usual_margin(test, at_load, budget, limit));
  return margins;
}

}  // namespace leadwright
