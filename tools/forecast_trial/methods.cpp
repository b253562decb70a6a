// SPDX-License-Identifier: Apache-2.0
#include "tools/forecast_trial/methods.h"

#include <cmath>

namespace leadwright {
namespace {

constexpr double cutoff_v = 10.5;

ForecastSubject subject_of(const TrialCase& one, const std::optional<DesignCurve>& curve) {
  ForecastSubject subject;
  subject.nominal = one.nominal;
  subject.curve = curve;
  return subject;
}

DischargeForecast fed(const TrialCase& one, const std::optional<DesignCurve>& curve, Second seen) {
  DischargeForecast forecast(subject_of(one, curve), {});
  for (const Sample& sample : one.samples) {
    if (sample.at > seen) break;
    if (sample.volts) forecast.add(sample.at, *sample.volts);
  }
  return forecast;
}

/// Least squares of volts over hours: level, slope and bend.
std::optional<std::array<double, 3>> parabola(const TrialCase& one, Second seen) {
  std::array<double, 5> powers{};
  std::array<double, 3> sums{};
  for (const Sample& sample : one.samples) {
    if (sample.at > seen) break;
    if (!sample.volts || sample.at < DischargeBins::settled_after) continue;
    double power = 1.0;
    for (std::size_t i = 0; i < powers.size(); ++i, power *= as_hours(sample.at)) {
      powers[i] += power;
      if (i < sums.size()) sums[i] += power * sample.volts->si();
    }
  }
  const auto [n, t, t2, t3, t4] = powers;
  const double determinant = n * (t2 * t4 - t3 * t3) - t * (t * t4 - t3 * t2) + t2 * (t * t3 - t2 * t2);
  if (n < 10.0 || std::abs(determinant) < 1e-12) return {};
  const auto [v, tv, t2v] = sums;
  const double level = v * (t2 * t4 - t3 * t3) - t * (tv * t4 - t3 * t2v) + t2 * (tv * t3 - t2 * t2v);
  const double slope = n * (tv * t4 - t3 * t2v) - v * (t * t4 - t3 * t2) + t2 * (t * t2v - tv * t2);
  const double bend = n * (t2 * t2v - tv * t3) - t * (t * t2v - tv * t2) + v * (t * t3 - t2 * t2);
  return std::array{level / determinant, slope / determinant, bend / determinant};
}

std::optional<EndInterval> blind(const TrialCase& one, Second seen) {
  const auto fit = parabola(one, seen);
  if (!fit) return {};
  const auto volts = [&fit](double hour) { return (*fit)[0] + hour * ((*fit)[1] + hour * (*fit)[2]); };
  double hour = as_hours(seen);
  constexpr double step = 1.0 / 120.0;
  constexpr double longest = 20.0;
  while (hour < longest && volts(hour) > cutoff_v) hour += step;
  const Second end = hours(hour);
  return EndInterval{end, end, end};
}

}  // namespace

const char* word(Method method) {
  switch (method) {
    case Method::label:
      return "label alone";
    case Method::blind:
      return "blind parabola";
    case Method::foreign_curve:
      return "another design's curve";
    case Method::own_curve:
      return "own curve, cells alike";
    case Method::whole:
      return "own curve, whole";
  }
  return "";
}

std::optional<EndInterval> foretell(Method method, const TrialCase& one, Second seen) {
  switch (method) {
    case Method::label:
      return fed(one, {}, seen).now().whole;
    case Method::blind:
      return blind(one, seen);
    case Method::foreign_curve:
      return fed(one, one.foreign, seen).now().alike;
    case Method::own_curve:
      return fed(one, one.curve, seen).now().alike;
    case Method::whole:
      return fed(one, one.curve, seen).now().whole;
  }
  return {};
}

DischargeForecast forecast_of(const TrialCase& one, Second seen) {
  return fed(one, one.curve, seen);
}

}  // namespace leadwright
