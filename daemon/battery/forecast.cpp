// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/forecast.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "daemon/battery/forecast_interval.h"

namespace leadwright {
namespace {

// C: 90 of 100 of a normal distribution.
constexpr double z_90 = 1.6448536269514722;

}  // namespace

const char* word(ForecastMethod method) {
  switch (method) {
    case ForecastMethod::label:
      return "label";
    case ForecastMethod::design_curve:
      return "design_curve";
  }
  return "";
}

std::string text(const Forecast& forecast) {
  std::string line = fmt::format("{:.0f} min ({:.0f} to {:.0f})", as_minutes(forecast.whole.likely),
                                 as_minutes(forecast.whole.earliest), as_minutes(forecast.whole.latest));
  const double seen = as_minutes(forecast.seen);
  switch (forecast.method) {
    case ForecastMethod::label:
      line += ", by what was known before the discharge";
      break;
    case ForecastMethod::design_curve:
      line += fmt::format(", by the curve of {} batteries of its design after {:.0f} min", forecast.batteries,
                          seen);
      break;
  }
  if (forecast.leaves_plateau) line += "; the voltage leaves the plateau";
  return line;
}

std::optional<Second> end_at_most(const Forecast& forecast, Second nominal) {
  if (forecast.method != ForecastMethod::design_curve || forecast.seen < nominal * early_share_least)
    return {};
  return forecast.alike.likely + (forecast.alike.latest - forecast.alike.likely) * early_margin;
}

DischargeForecast::DischargeForecast(ForecastSubject subject, ForecastSettings settings)
    : subject_(std::move(subject)), settings_(settings) {}

void DischargeForecast::add(Second at, Volt volts) {
  last_ = at;
  const Volt cell = volts / static_cast<double>(subject_.cells);
  seen_.add(at, cell);
  plateau_.add(at, cell);
}

Forecast DischargeForecast::by_label() const {
  const bool known = subject_.earlier.has_value();
  const Second likely = known ? *subject_.earlier : subject_.nominal * settings_.label_share;
  const double wide = std::exp(z_90 * (known ? settings_.earlier_spread : settings_.label_spread));
  Forecast forecast;
  forecast.seen = last_;
  forecast.alike = {likely / wide, likely, likely * wide};
  count_survival_in(forecast);
  return forecast;
}

FitPrior DischargeForecast::prior() const {
  FitPrior prior;
  if (subject_.earlier && subject_.curve) {
    prior.log_rate = std::log(subject_.curve->time / *subject_.earlier);
    prior.sd_log_rate = settings_.earlier_spread;
  }
  return prior;
}

Forecast DischargeForecast::now() const {
  if (!subject_.curve || seen_.bins().empty()) return by_label();
  Forecast forecast;
  forecast.method = ForecastMethod::design_curve;
  forecast.batteries = subject_.curve->batteries;
  forecast.seen = last_;
  forecast.fit = fit_curve(*subject_.curve, seen_, prior(), subject_.cell_cutoff);
  forecast.alike = alike_interval(forecast, subject_.nominal);
  const auto fall = plateau_.fall(*subject_.curve, prior(), subject_.cell_cutoff);
  forecast.leaves_plateau = fall && *fall * static_cast<double>(subject_.cells) > PlateauWatch::fall_min;
  count_unwarned_in(forecast, settings_);
  return forecast;
}

}  // namespace leadwright
