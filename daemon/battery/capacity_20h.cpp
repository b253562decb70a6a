// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/capacity_20h.h"

#include <cmath>
#include <utility>

#include "daemon/battery/discharge.h"
#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"
#include "daemon/quantities/nearest_rank.h"

namespace leadwright {
namespace {

/// F: 10.50 V for six cells.
constexpr Volt capacity_cell_cutoff{1.75};
/// M for EN/IEC; F for 1 %/K as an older rule of the 10 h rate.
constexpr double capacity_per_kelvin = 0.01;
/// P: spread of the published coefficients, 0.006 to 0.01.
constexpr double u_capacity_per_kelvin = 0.002;
constexpr Celsius capacity_reference{25.0};

double kelvin_away(Celsius battery) {
  return (battery - capacity_reference).si();
}

/// The current that was held: the middle one of all that were measured.
Ampere held_current(std::span<const Sample> samples) {
  std::vector<Ampere> amps;
  amps.reserve(samples.size());
  for (const Sample& sample : samples)
    if (sample.amps) amps.push_back(*sample.amps);
  return amps.empty() ? Ampere(0.0) : middle_of(std::move(amps));
}

std::string rate_words(Ampere held, const Nameplate& nameplate) {
  std::string words = "at " + fixed(held.si(), 3) + " A";
  if (!nameplate.c20) return words + ", the label states no 20-hour capacity";
  const double hours_of_label = as_hours(nameplate.c20->value / held);
  return words + ", the " + fixed(hours_of_label, 1) + " h rate of the label's " +
         fixed(as_ampere_hours(nameplate.c20->value), 1) + " Ah";
}

std::vector<BudgetLine> capacity_budget(const Discharge& draw, Ampere held, Volt cutoff,
                                        const MeterAccuracy& accuracy) {
  const double ah = as_ampere_hours(draw.delivered());
  const Volt u_end = u_of(cutoff, accuracy);
  const Second u_ends(std::hypot(draw.u_start.si(), draw.u_crossing.si()));
  return {
      {"ammeter gain", fixed(100.0 * accuracy.amps_relative, 3) + " % rect.",
       ah * rectangular(accuracy.amps_relative), fixed(ah, 2) + " Ah", sensitivity_text(0.01 * ah, "Ah/%")},
      {"ammeter offset", fixed(1000.0 * accuracy.amps_absolute.si(), 0) + " mA rect.",
       as_ampere_hours(rectangular(accuracy.amps_absolute) * draw.at_full), "0 mA",
       sensitivity_text(as_hours(draw.at_full), "Ah/A")},
      {"end voltage", fixed(1000.0 * u_end.si(), 1) + " mV",
       as_ampere_hours(held * (u_end / abs(draw.slope))), fixed(cutoff.si(), 2) + " V",
       sensitivity_text(as_ampere_hours(held * (Volt(1.0) / abs(draw.slope))), "Ah/V")},
      {"start and end", fixed(u_ends.si(), 1) + " s", as_ampere_hours(held * u_ends), "",
       sensitivity_text(held.si() / 3600.0, "Ah/s")}};
}

/// What was measured, referred to 25 degC.
Finding capacity_referred(const Finding& measured, Celsius battery, const FindingRequest& request) {
  const Coulomb delivered = ampere_hours(measured.value);
  const double ah = as_ampere_hours(at_25_degc_multiplied(delivered, battery));
  const double other_ah = as_ampere_hours(at_25_degc_divided(delivered, battery));
  const double apart = std::abs(ah - other_ah);
  const double u_battery = std::hypot(rectangular(request.accuracy.temperature_absolute).si(),
                                      request.settings.u_case_to_electrolyte.si());
  const double u_block = request.settings.u_battery_repeatability;
  Finding finding = measured;
  finding.measurand = Measurand::capacity_20h_ref;
  finding.value = ah;
  finding.method += ", referred to 25 degC by C (1 - 0.01/K (T - 25 degC))";
  finding.conditions +=
      "; at " + fixed(battery.degc(), 1) + " degC; divided instead " + fixed(other_ah, 2) + " Ah";
  std::vector<BudgetLine> budget = measured.budget;
  for (BudgetLine& line : budget) line.u *= ah / measured.value;
  budget.push_back({"temperature", fixed(u_battery, 2) + " K",
                    measured.value * capacity_per_kelvin * u_battery, fixed(battery.degc(), 1) + " degC",
                    sensitivity_text(measured.value * capacity_per_kelvin, "Ah/K")});
  budget.push_back({"temperature coefficient", fixed(u_capacity_per_kelvin, 3) + "/K",
                    measured.value * u_capacity_per_kelvin * std::abs(kelvin_away(battery)),
                    fixed(capacity_per_kelvin, 3) + "/K",
                    sensitivity_text(measured.value * kelvin_away(battery), "Ah K")});
  budget.push_back({"form of the correction", fixed(apart, 2) + " Ah apart, rect.", rectangular(0.5 * apart),
                    fixed(ah, 2) + " Ah", "1 Ah/Ah"});
  budget.push_back({std::string(battery_repeatability), fixed(100.0 * u_block, 1) + " %", ah * u_block,
                    fixed(ah, 2) + " Ah", sensitivity_text(0.01 * ah, "Ah/%")});
  return with_budget(std::move(finding), std::move(budget));
}

Finding case_finding(Celsius battery, const MeterAccuracy& accuracy) {
  Finding finding;
  finding.measurand = Measurand::temperature;
  finding.value = battery.degc();
  finding.method = "median of the case temperature over the draw";
  return with_budget(
      std::move(finding),
      {{"thermometer", fixed(accuracy.temperature_absolute.si(), 1) + " K rect.",
        rectangular(accuracy.temperature_absolute).si(), fixed(battery.degc(), 1) + " degC", "1 K/K"}});
}

}  // namespace

Coulomb at_25_degc_multiplied(Coulomb capacity, Celsius battery) {
  return capacity * (1.0 - capacity_per_kelvin * kelvin_away(battery));
}

Coulomb at_25_degc_divided(Coulomb capacity, Celsius battery) {
  return capacity / (1.0 + capacity_per_kelvin * kelvin_away(battery));
}

Result<Findings> state_capacity_20h(const FindingRequest& request) {
  if (request.of.size() != 1) {
    return fail(Errc::bad_input, "the 20-hour capacity is made of one draw", "of", "name the draw");
  }
  auto span = span_named(*request.trace, request.of.front());
  if (!span) return pass(span);
  const Ampere held = held_current(samples_of(*request.trace, *span));
  const Volt cutoff = capacity_cell_cutoff * static_cast<double>(request.nameplate.cells);
  auto draw = discharge_of(*request.trace, *span, {held, cutoff});
  if (!draw) return pass(draw);

  Finding measured;
  measured.measurand = Measurand::capacity_20h;
  measured.value = as_ampere_hours(draw->delivered());
  measured.method = "integral of the current to 1.75 V a cell";
  measured.conditions = rate_words(held, request.nameplate);
  measured = with_budget(std::move(measured), capacity_budget(*draw, held, cutoff, request.accuracy));
  Findings findings;
  findings.findings.push_back(measured);
  const auto& battery = draw->temperature_median;
  if (!battery) return findings;
  findings.findings.push_back(capacity_referred(measured, *battery, request));
  findings.findings.push_back(case_finding(*battery, request.accuracy));
  return findings;
}

}  // namespace leadwright
