// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/reserve_capacity_bounds.h"

#include <cmath>
#include <utility>

#include "daemon/battery/discharge.h"
#include "daemon/battery/forecast.h"
#include "daemon/battery/reserve_capacity.h"
#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// P: quartz clocks of computers keep 100 ppm.
constexpr double clock_share = 1e-4;
/// C: one-sided 5 % of a normal distribution, the guard factor of the shipped policy.
constexpr double z_one_sided = 1.645;

/// The minutes so far. The end voltage is no part of it: nobody waited for one.
MeasuredMinutes minutes_so_far(const Discharge& draw, const MeterAccuracy& accuracy) {
  const Second time = draw.as_if_at(reserve_capacity_current);
  constexpr VoltPerSecond any_slope{-1.0};
  return {time,      draw.mean_at_full, u_of(draw.mean_at_full, accuracy),
          Volt(0.0), any_slope,         Second(std::hypot(draw.u_start.si(), clock_share * time.si()))};
}

std::optional<AtReference> reference_of(const FindingRequest& request, const Discharge& draw) {
  if (!draw.temperature_initial) return {};
  const auto& rating = request.nameplate.reserve_capacity;
  return AtReference{*draw.temperature_initial,
                     Kelvin(std::hypot(rectangular(request.accuracy.temperature_absolute).si(),
                                       request.settings.u_case_to_electrolyte.si())),
                     reference_temperature(rating ? rating->standard : RatingStandard::unknown)};
}

Finding at_least(Measurand measurand, Second value, const Trace::StepSpan& span) {
  Finding finding;
  finding.measurand = measurand;
  finding.value = as_minutes(value);
  finding.method = "time at 25 A, stopped before the cut-off";
  finding.conditions = std::string("at least ")
                           .append(fixed(std::floor(as_minutes(value)), 0))
                           .append(" min, stopped there (")
                           .append(span.end)
                           .append(")");
  return finding;
}

/// The forecast at the moment of the stop; missing where it may decide nothing.
std::optional<Forecast> forecast_at_stop(const FindingRequest& request, const Trace::StepSpan& span,
                                         const Discharge& draw) {
  const auto& rating = request.nameplate.reserve_capacity;
  if (request.design == nullptr || !rating) return {};
  ForecastSubject subject;
  subject.cells = request.nameplate.cells;
  subject.nominal = rating->value;
  subject.curve = *request.design;
  DischargeForecast forecast(std::move(subject), request.settings.forecast);
  const auto samples = samples_of(*request.trace, span);
  std::optional<Second> from;
  for (const Sample& sample : samples) {
    if (!sample.amps || !sample.volts) continue;
    if (!from && *sample.amps >= draw.mean_at_full * 0.98) from = sample.at;
    if (from && sample.at - *from <= draw.at_full) forecast.add(sample.at - *from, *sample.volts);
  }
  const Forecast answer = forecast.now();
  if (!end_at_most(answer, rating->value)) return {};
  return answer;
}

Finding forecast_finding(const Forecast& forecast, double to_reference, Second latest) {
  Finding finding;
  finding.measurand = Measurand::reserve_capacity_ref_forecast;
  finding.value = as_minutes(forecast.alike.likely) * to_reference;
  finding.method = "forecast when it was stopped, not measured";
  finding.conditions = text(forecast);
  const double u = as_minutes(latest - forecast.alike.likely) * to_reference / z_one_sided;
  return with_budget(std::move(finding), {{"forecast with its margin", "calibrated on whole discharges", u}});
}

}  // namespace

Result<Findings> state_reserve_capacity_bounds(const FindingRequest& request) {
  if (request.of.size() != 1)
    return fail(Errc::bad_input, "reserve capacity is made of one draw", "of", "name the draw");
  auto span = span_named(*request.trace, request.of.front());
  if (!span) return pass(span);
  const Volt cutoff = reserve_capacity_cell_cutoff * static_cast<double>(request.nameplate.cells);
  const DrawTarget target{reserve_capacity_current, cutoff};
  if (discharge_of(*request.trace, *span, target)) return state_reserve_capacity(request);
  auto draw = discharge_so_far(*request.trace, *span, target);
  if (!draw) return pass(draw);
  const MeasuredMinutes measured = minutes_so_far(*draw, request.accuracy);
  const auto at = reference_of(request, *draw);
  Findings findings;
  findings.findings.push_back(
      with_budget(at_least(Measurand::reserve_capacity_at_least, measured.minutes, *span),
                  budget_of(measured, request.settings)));
  if (!at) return findings;
  const Second referred = at_reference(measured, *at, request.settings);
  findings.findings.push_back(with_budget(at_least(Measurand::reserve_capacity_ref_at_least, referred, *span),
                                          budget_of(measured, *at, request.settings)));
  if (const auto forecast = forecast_at_stop(request, *span, *draw)) {
    findings.findings.push_back(
        forecast_finding(*forecast, referred / measured.minutes,
                         *end_at_most(*forecast, request.nameplate.reserve_capacity->value)));
  }
  return findings;
}

}  // namespace leadwright
