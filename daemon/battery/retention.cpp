// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/retention.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "daemon/battery/ocv.h"
#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// P: < 10 mV/day after the first 24 h at 20 degC is sound, so that day does not count.
constexpr Second settling = hours(24.0);
constexpr Second retention_min = hours(12.0);
constexpr double second_per_day = 86400.0;
/// P: how far the case temperature may stray from the acid's over a day of standing.
constexpr Kelvin u_day_temperature{0.5};
/// P: drift of a voltmeter over days, as a share of its absolute accuracy.
constexpr double drift_share = 0.2;
/// Beyond a full and an empty battery the ladder says nothing: its steepness is taken within.
constexpr Volt ladder_top_cell{2.10};
constexpr Volt ladder_foot_cell{2.00};
constexpr Volt ladder_step_cell{0.01};

struct Fit {
  double slope = 0.0;  ///< V/s
  double u = 0.0;
  double mean = 0.0;  ///< V
  double length = 0.0;
  std::size_t count = 0;
};

Fit fit_of(const std::vector<std::pair<double, double>>& points) {
  Fit fit;
  fit.count = points.size();
  const auto n = static_cast<double>(points.size());
  double mean_t = 0.0;
  for (const auto& [t, v] : points) {
    mean_t += t / n;
    fit.mean += v / n;
  }
  double tt = 0.0;
  double tv = 0.0;
  for (const auto& [t, v] : points) {
    tt += (t - mean_t) * (t - mean_t);
    tv += (t - mean_t) * (v - fit.mean);
  }
  fit.slope = tt > 0.0 ? tv / tt : 0.0;
  double rest = 0.0;
  for (const auto& [t, v] : points) {
    const double off = v - fit.mean - fit.slope * (t - mean_t);
    rest += off * off;
  }
  if (n > 2.0 && tt > 0.0) fit.u = std::sqrt(rest / (n - 2.0) / tt);
  fit.length = points.empty() ? 0.0 : points.back().first - points.front().first;
  return fit;
}

/// Share of a full charge that a volt stands for, near this voltage.
Result<double> share_per_volt(const Nameplate& nameplate, Volt rested) {
  const auto cells = static_cast<double>(nameplate.cells);
  const Volt upper = std::clamp(rested, ladder_foot_cell * cells, ladder_top_cell * cells);
  const Volt lower = upper - ladder_step_cell * cells;
  const auto share = [&nameplate](Volt volts) {
    return state_of_charge(nameplate, RestedOcv{volts, Volt(0.0), Celsius(25.0)});
  };
  auto high = share(upper);
  if (!high) return pass(high);
  auto low = share(lower);
  if (!low) return pass(low);
  return (high->share - low->share) / (upper - lower).si();
}

struct Standing {
  std::vector<std::pair<double, double>> points;  ///< s, V
  bool all_warm = true;                           ///< each has a temperature
};

Standing standing_from(std::span<const Sample> samples, Second from, int cells) {
  Standing standing;
  for (const Sample& sample : samples) {
    if (sample.at < from || !sample.volts) continue;
    const Volt volts =
        sample.temperature ? ocv_at_25_degc(*sample.volts, cells, *sample.temperature) : *sample.volts;
    standing.all_warm = standing.all_warm && sample.temperature.has_value();
    standing.points.emplace_back((sample.at - from).si(), volts.si());
  }
  return standing;
}

/// F: specific gravity lost in a day at 80, 50 and 100 degF; C: twice as much with each 10 K.
constexpr double falls_at_degc = 20.0;
constexpr double doubles_in_k = 10.0;

}  // namespace

std::optional<FallAtRest> fall_between(const StandingLook& first, const StandingLook& last, int cells) {
  FallAtRest fall;
  fall.over = last.at - first.at;
  if (fall.over <= Second(0.0)) return std::nullopt;
  const bool is_warm = first.battery && last.battery;
  const auto referred = [&](const StandingLook& look) {
    return is_warm ? ocv_at_25_degc(look.volts, cells, *look.battery) : look.volts;
  };
  const bool is_one_meter = !first.meter.empty() && first.meter == last.meter;
  const Volt u_meters =
      is_one_meter ? last.u_meter * drift_share : Volt(std::hypot(first.u_meter.si(), last.u_meter.si()));
  const Volt per_kelvin = abs(ocv_at_25_degc(Volt(0.0), cells, Celsius(24.0)));
  const Volt u_temperature = per_kelvin * (is_warm ? 1.0 : 3.0) * u_day_temperature.si();
  const double u_v =
      std::hypot(std::hypot(first.u_noise.si(), last.u_noise.si()), u_meters.si(), u_temperature.si());
  const double days = fall.over.si() / second_per_day;
  const double mean_degc = is_warm ? 0.5 * (first.battery->degc() + last.battery->degc()) : falls_at_degc;
  const double colder = std::exp2((falls_at_degc - mean_degc) / doubles_in_k);
  fall.mv_per_day = 1e3 * (referred(first) - referred(last)).si() / days * colder;
  fall.u = 1e3 * u_v / days * colder;
  return fall;
}

Result<Findings> state_retention(const FindingRequest& request) {
  if (request.of.size() != 1) {
    return fail(Errc::bad_input, "retention is made of one rest", "of", "name the rest");
  }
  auto span = span_named(*request.trace, request.of.front());
  if (!span) return pass(span);
  const auto samples = samples_of(*request.trace, *span);
  const Second lasted = span->ended_at - span->started_at;
  if (samples.empty() || lasted < settling) {
    return fail(Errc::unsupported,
                "a rest of " + fixed(as_hours(lasted), 1) + " h tells nothing of retention", "trace",
                "let it stand for a day at least, better three to seven");
  }
  const Second from = span->started_at + (lasted >= settling + retention_min ? settling : lasted * 0.5);
  const Standing standing = standing_from(samples, from, request.nameplate.cells);
  const Fit fit = fit_of(standing.points);
  if (fit.count < 3 || Second(fit.length) < retention_min) {
    return fail(Errc::unsupported, "too few readings over the rest", "trace", "run it again");
  }
  auto per_volt = share_per_volt(request.nameplate, Volt(fit.mean));
  if (!per_volt) return pass(per_volt);

  const double days = fit.length / second_per_day;
  const double u_fit = fit.u * second_per_day * 1e3;
  const double volts_per_kelvin = ocv_at_25_degc(Volt(0.0), request.nameplate.cells, Celsius(24.0)).si();
  const double u_kelvin = standing.all_warm ? u_day_temperature.si() : 3.0 * u_day_temperature.si();
  const double u_temperature = 1e3 * std::abs(volts_per_kelvin) * u_kelvin / days;
  const double u_drift = 1e3 * drift_share * rectangular(request.accuracy.volts_absolute).si() / days;
  Finding slope;
  slope.measurand = Measurand::rest_slope;
  slope.value = fit.slope * second_per_day * 1e3;
  slope.method = "straight line through the voltages at rest";
  slope.conditions = "over " + fixed(days, 1) + " days after the first " +
                     fixed(as_hours(from - span->started_at), 0) + " h; around " + fixed(fit.mean, 3) + " V" +
                     (standing.all_warm ? ", referred to 25 degC" : "; temperature not measured throughout");
  std::vector<BudgetLine> budget{{"fit", "of the line", u_fit, "", "1"},
                                 {"temperature", fixed(u_kelvin, 1) + " K over the rest", u_temperature, "",
                                  sensitivity_text(1e3 * volts_per_kelvin / days, "mV/day/K")},
                                 {"voltmeter drift", "a fifth of its accuracy rect.", u_drift, "",
                                  sensitivity_text(1e3 / days, "mV/day/V")}};

  Finding loss;
  loss.measurand = Measurand::self_discharge;
  loss.value = std::max(0.0, -fit.slope * second_per_day * *per_volt);
  loss.method = "from the slope at rest and the table for " + std::string(word(request.nameplate.chemistry));
  loss.conditions = slope.conditions;
  const double share_per_mv = *per_volt * 1e-3;
  std::vector<BudgetLine> loss_budget;
  loss_budget.reserve(budget.size() + 1);
  for (const BudgetLine& line : budget)
    loss_budget.push_back(
        {line.quantity, line.u_input, line.u * share_per_mv, line.value, "through the slope"});
  // P: makers' tables differ by a fifth in how many volts a charge is.
  loss_budget.push_back(
      {"table", "20 % rect.", rectangular(0.2) * loss.value, "", sensitivity_text(loss.value, "1/day")});
  Findings findings;
  findings.findings.push_back(with_budget(std::move(slope), std::move(budget)));
  findings.findings.push_back(with_budget(std::move(loss), std::move(loss_budget)));
  return findings;
}

}  // namespace leadwright
