// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/forecast_interval.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace leadwright {
namespace {

constexpr double root_2 = 1.4142135623730951;
constexpr double tail = 0.5 * (1.0 - forecast_level);
constexpr double z_of_tail = 1.6448536269514722;
// C: chosen on the first halves: the fit alone becomes too sure of itself late in a discharge.
constexpr double scale_min_share = 0.01;
// C: when the voltage leaves the plateau, this share of the time that the curve says is left at most
// (tools/forecast_trial).
constexpr double plateau_left_share = 0.30;
// P: the sign may be the design's own knee, come early.
constexpr double plateau_sign_share = 0.8;

// C: for each share of the nominal minutes the errors of whole discharges over their scale, of which 5 % lie
// beyond on each side, by tools/forecast_trial on its first halves: the larger of group B's worst and of the
// 95th of
// 100 simulated batteries that do not end unwarned.
constexpr std::array<ForecastStretch, 6> stretches{{{0.05, 1.9, 2.2},
                                                    {0.10, 1.8, 1.3},
                                                    {0.20, 2.2, 1.6},
                                                    {0.40, 1.6, 1.4},
                                                    {0.60, 1.3, 2.0},
                                                    {0.80, 1.0, 1.6}}};

double normal_below(double z) {
  return 0.5 * std::erfc(-z / root_2);
}

/// Probability that all cells being alike it ends before `at`: two half normals around the likely end, and
/// nothing of it before `seen`.
double alike_ends_before(const Forecast& forecast, Second at) {
  const EndInterval& alike = forecast.alike;
  const auto before = [&alike](Second when) {
    const Second half = when < alike.likely ? alike.likely - alike.earliest : alike.latest - alike.likely;
    if (half.si() <= 0.0) return when < alike.likely ? 0.0 : 1.0;
    return normal_below(z_of_tail * ((when - alike.likely) / half));
  };
  const double gone = before(forecast.seen);
  if (gone >= 1.0 - 1e-9) return at > forecast.seen ? 1.0 : 0.0;
  return std::max(0.0, (before(at) - gone) / (1.0 - gone));
}

/// When an unwarned end comes, if it has not come yet: evenly within a span.
struct Span {
  Second from;
  Second to;
  double before(Second at) const {
    if (to <= from) return at > from ? 1.0 : 0.0;
    return std::clamp((at - from) / (to - from), 0.0, 1.0);
  }
};

/// Quantiles of the mixture; then nothing of alike stays in the past.
void set_whole(Forecast& forecast, const Span& unwarned) {
  EndInterval& alike = forecast.alike;
  const auto quantile = [&](double below) {
    Second low = forecast.seen;
    Second high = std::max(unwarned.to, alike.latest + (alike.latest - alike.likely) + forecast.seen);
    for (int i = 0; i < 40; ++i) {
      const Second middle = (low + high) * 0.5;
      const double before = forecast.unwarned * unwarned.before(middle) +
                            (1.0 - forecast.unwarned) * alike_ends_before(forecast, middle);
      (before < below ? low : high) = middle;
    }
    return high;
  };
  forecast.whole = {quantile(tail), quantile(0.5), quantile(1.0 - tail)};
  alike = {std::max(forecast.seen, alike.earliest), std::max(forecast.seen, alike.likely),
           std::max(forecast.seen, alike.latest)};
}

}  // namespace

Second forecast_scale(Second u_end, Second nominal) {
  return Second(std::hypot(u_end.si(), scale_min_share * nominal.si()));
}

ForecastStretch stretch_of(double share_seen) {
  if (share_seen <= stretches.front().share) return stretches.front();
  for (std::size_t i = 1; i < stretches.size(); ++i) {
    const ForecastStretch& low = stretches[i - 1];
    const ForecastStretch& high = stretches[i];
    if (share_seen > high.share) continue;
    const double part = (share_seen - low.share) / (high.share - low.share);
    return {share_seen, std::lerp(low.earlier, high.earlier, part), std::lerp(low.later, high.later, part)};
  }
  return stretches.back();
}

EndInterval alike_interval(const Forecast& forecast, Second nominal) {
  const ForecastStretch stretch = stretch_of(forecast.seen / nominal);
  const Second scale = forecast_scale(forecast.fit.u_end, nominal);
  const Second likely = std::max(forecast.fit.end, forecast.seen);
  return {likely - scale * stretch.earlier, likely, likely + scale * stretch.later};
}

void count_survival_in(Forecast& forecast) {
  set_whole(forecast, {forecast.seen, forecast.seen});
}

void count_unwarned_in(Forecast& forecast, const ForecastSettings& settings) {
  const double share = settings.weak_cell_share + settings.spent_plates_share;
  const Span possible{forecast.alike.likely * settings.unwarned_from, forecast.alike.likely};
  const double alive = share * (1.0 - possible.before(forecast.seen));
  forecast.unwarned = forecast.leaves_plateau ? plateau_sign_share : alive / (alive + 1.0 - share);
  forecast.weak_cell = share > 0.0 ? forecast.unwarned * settings.weak_cell_share / share : 0.0;
  if (forecast.leaves_plateau) {
    set_whole(forecast, {forecast.seen, forecast.seen + forecast.alike.likely * plateau_left_share});
  } else {
    set_whole(forecast, {std::max(forecast.seen, possible.from), possible.to});
  }
}

}  // namespace leadwright
