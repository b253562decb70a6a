// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/reserve_capacity.h"

#include <cmath>
#include <utility>

#include "daemon/battery/discharge.h"
#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// P: quartz clocks of computers keep 100 ppm.
constexpr double clock_relative = 1e-4;
constexpr double root_a = 17778.0;
constexpr double root_b = 208.3;
constexpr double root_c = 133.3;

double rate_factor(const MeasuredMinutes& measured, const EstimatorSettings& settings) {
  return std::pow(measured.current / reserve_capacity_current, settings.peukert);
}

double temperature_factor(const AtReference& at, const EstimatorSettings& settings) {
  return 1.0 - settings.rc_temperature_coefficient_per_k * (at.battery - at.reference).si();
}

std::string temperature_text(const std::optional<Celsius>& temperature) {
  return temperature ? fixed(temperature->degc(), 1) + " degC" : "not measured";
}

std::string end_text(const Discharge& draw) {
  return draw.by_instrument ? "ended by the load's own cut-off, crossing taken midway between two samples"
                            : "crossing interpolated between two samples";
}

MeasuredMinutes measured_by(const Discharge& draw, Volt cutoff, const MeterAccuracy& accuracy) {
  const Second time = draw.as_if_at(reserve_capacity_current);
  const Second u_time(std::hypot(draw.u_start.si(), draw.u_crossing.si(), clock_relative * time.si()));
  return {time,  draw.mean_at_full, u_of(draw.mean_at_full, accuracy), u_of(cutoff, accuracy), draw.slope,
          u_time};
}

/// Lines of the measured minutes, each as much larger as the minutes at the reference are.
std::vector<BudgetLine> measured_lines(const MeasuredMinutes& measured, const EstimatorSettings& settings,
                                       double scale) {
  const double t = scale * as_minutes(measured.minutes);
  const double per_ampere = t * settings.peukert / measured.current.si();
  const double per_volt = scale * as_minutes(Volt(1.0) / abs(measured.slope));
  return {
      {"current", fixed(1000.0 * measured.u_current.si(), 1) + " mA", per_ampere * measured.u_current.si(),
       fixed(measured.current.si(), 3) + " A", sensitivity_text(per_ampere, "min/A")},
      {"end voltage", fixed(1000.0 * measured.u_end_voltage.si(), 1) + " mV",
       per_volt * measured.u_end_voltage.si(), "1.75 V a cell", sensitivity_text(per_volt, "min/V")},
      {"time", fixed(measured.u_time.si(), 2) + " s", scale * as_minutes(measured.u_time),
       fixed(as_minutes(measured.minutes), 2) + " min", sensitivity_text(scale, "min/min")}};
}

Finding delivered_finding(const Discharge& draw, const MeterAccuracy& accuracy) {
  const double ah = as_ampere_hours(draw.delivered());
  const double gain = ah * rectangular(accuracy.amps_relative);
  // Offset and gain of one meter are the same over the whole draw: they add up, they do not average out.
  const Second time = draw.as_if_at(reserve_capacity_current);
  const double offset = as_ampere_hours(rectangular(accuracy.amps_absolute) * time);
  const double timing =
      as_ampere_hours(draw.mean_at_full * Second(std::hypot(draw.u_start.si(), draw.u_crossing.si())));
  Finding finding;
  finding.measurand = Measurand::delivered;
  finding.value = ah;
  finding.method = "integral of the current from the start of the draw to the cut-off";
  finding.conditions = "at " + fixed(draw.mean_at_full.si(), 2) + " A";
  return with_budget(std::move(finding),
                     {{"ammeter gain", fixed(100.0 * accuracy.amps_relative, 3) + " % rect.", gain,
                       fixed(ah, 2) + " Ah", sensitivity_text(0.01 * ah, "Ah/%")},
                      {"ammeter offset", fixed(1000.0 * accuracy.amps_absolute.si(), 0) + " mA rect.", offset,
                       "0 mA", sensitivity_text(as_hours(time), "Ah/A")},
                      {"start and end", "from the samples around them", timing, "",
                       sensitivity_text(draw.mean_at_full.si() / 3600.0, "Ah/s")}});
}

Finding temperature_finding(Celsius median, const Discharge& draw, const MeterAccuracy& accuracy) {
  Finding finding;
  finding.measurand = Measurand::temperature;
  finding.value = median.degc();
  finding.method = "median of the case temperature over the draw";
  finding.conditions = "initial " + temperature_text(draw.temperature_initial);
  return with_budget(
      std::move(finding),
      {{"thermometer", fixed(accuracy.temperature_absolute.si(), 1) + " K rect.",
        rectangular(accuracy.temperature_absolute).si(), fixed(median.degc(), 1) + " degC", "1 K/K"}});
}

}  // namespace

Coulomb charge_at_25_a(Second reserve_capacity) {
  return reserve_capacity_current * reserve_capacity;
}

Coulomb c20_from_reserve_capacity(Second reserve_capacity) {
  return ampere_hours(std::sqrt(root_a + root_b * as_minutes(reserve_capacity)) - root_c);
}

Second reserve_capacity_from_c20(Coulomb c20) {
  const double root = as_ampere_hours(c20) + root_c;
  return minutes((root * root - root_a) / root_b);
}

Second at_reference(const MeasuredMinutes& measured, const AtReference& at,
                    const EstimatorSettings& settings) {
  return measured.minutes * (rate_factor(measured, settings) * temperature_factor(at, settings));
}

std::vector<BudgetLine> budget_of(const MeasuredMinutes& measured, const EstimatorSettings& settings) {
  return measured_lines(measured, settings, 1.0);
}

std::vector<BudgetLine> budget_of(const MeasuredMinutes& measured, const AtReference& at,
                                  const EstimatorSettings& settings) {
  const double rate = rate_factor(measured, settings);
  const double t = as_minutes(measured.minutes) * rate;
  const double factor = temperature_factor(at, settings);
  const double away = std::abs((at.battery - at.reference).si());
  std::vector<BudgetLine> budget = measured_lines(measured, settings, rate * factor);
  const double per_kelvin = t * settings.rc_temperature_coefficient_per_k;
  budget.push_back({"temperature of the acid", fixed(at.u_battery.si(), 2) + " K, case and thermometer",
                    per_kelvin * at.u_battery.si(), fixed(at.battery.degc(), 1) + " degC",
                    sensitivity_text(per_kelvin, "min/K")});
  budget.push_back({"temperature coefficient",
                    fixed(100.0 * settings.u_rc_temperature_coefficient_per_k, 2) + " %/K",
                    t * settings.u_rc_temperature_coefficient_per_k * away,
                    fixed(100.0 * settings.rc_temperature_coefficient_per_k, 2) + " %/K",
                    sensitivity_text(0.01 * t * away, "min K/%")});
  budget.push_back(
      {"rate exponent", fixed(settings.u_peukert, 2),
       t * factor * settings.u_peukert * std::abs(std::log(measured.current / reserve_capacity_current)),
       fixed(settings.peukert, 2),
       sensitivity_text(t * factor * std::log(measured.current / reserve_capacity_current), "min")});
  budget.push_back({std::string(battery_repeatability),
                    fixed(100.0 * settings.u_battery_repeatability, 1) + " %",
                    t * factor * settings.u_battery_repeatability, fixed(t * factor, 2) + " min",
                    sensitivity_text(0.01 * t * factor, "min/%")});
  return budget;
}

Result<Findings> state_reserve_capacity(const FindingRequest& request) {
  if (request.of.size() != 1)
    return fail(Errc::bad_input, "reserve capacity is made of one draw", "of", "name the draw");
  auto span = span_named(*request.trace, request.of.front());
  if (!span) return pass(span);
  const Volt cutoff = reserve_capacity_cell_cutoff * static_cast<double>(request.nameplate.cells);
  auto draw = discharge_of(*request.trace, *span, {reserve_capacity_current, cutoff});
  if (!draw) return pass(draw);
  const MeasuredMinutes measured = measured_by(*draw, cutoff, request.accuracy);
  const EstimatorSettings& settings = request.settings;

  Finding finding;
  finding.measurand = Measurand::reserve_capacity;
  finding.value = as_minutes(measured.minutes);
  finding.method = "25 A to 1.75 V a cell, uncorrected";
  finding.conditions = fixed(measured.current.si(), 2) + " A; initial temperature " +
                       temperature_text(draw->temperature_initial) + ", median " +
                       temperature_text(draw->temperature_median) + "; " + end_text(*draw);
  Findings findings;
  findings.findings.push_back(with_budget(std::move(finding), budget_of(measured, settings)));

  if (draw->temperature_initial) {
    const Kelvin u_battery(std::hypot(rectangular(request.accuracy.temperature_absolute).si(),
                                      settings.u_case_to_electrolyte.si()));
    const auto& rating = request.nameplate.reserve_capacity;
    const auto standard = rating ? rating->standard : RatingStandard::unknown;
    const AtReference at{*draw->temperature_initial, u_battery, reference_temperature(standard)};
    Finding corrected;
    corrected.measurand = Measurand::reserve_capacity_ref;
    corrected.value = as_minutes(at_reference(measured, at, settings));
    corrected.method = "25 A to 1.75 V a cell, times (I/25 A)^k (1 - a (T - T_ref))";
    corrected.conditions = "initial temperature " + temperature_text(at.battery) + "; reference " +
                           fixed(at.reference.degc(), 1) +
                           " degC, a = " + fixed(settings.rc_temperature_coefficient_per_k, 4) +
                           "/K; k = " + fixed(settings.peukert, 2);
    findings.findings.push_back(with_budget(std::move(corrected), budget_of(measured, at, settings)));
  }
  findings.findings.push_back(delivered_finding(*draw, request.accuracy));
  if (draw->temperature_median) {
    findings.findings.push_back(temperature_finding(*draw->temperature_median, *draw, request.accuracy));
  }
  return findings;
}

}  // namespace leadwright
