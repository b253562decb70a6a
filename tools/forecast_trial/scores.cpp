// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "daemon/battery/forecast.h"
#include "tools/forecast_trial/tables.h"

namespace leadwright {
namespace {

constexpr Second asked_every = minutes(1.0);
constexpr Second still_goes_on{30.0};

/// Asks once a minute until `told` says that it is enough; false if the discharge ended first.
template <class Told>
bool ask_until(const TrialCase& one, const Told& told) {
  DischargeForecast forecast({6, Volt(1.75), one.nominal, {}, one.curve}, {});
  Second next = asked_every;
  for (const Sample& sample : one.samples) {
    if (sample.volts) forecast.add(sample.at, *sample.volts);
    if (sample.at < next) continue;
    next += asked_every;
    if (told(sample.at, forecast.now())) return true;
  }
  return false;
}

}  // namespace

ForecastScore score(const std::vector<TrialCase>& cases, Method method, double share) {
  ForecastScore score;
  double squares = 0.0;
  int held = 0;
  for (const TrialCase& one : cases) {
    const Second seen = one.nominal * share;
    if (one.end < seen + still_goes_on) continue;
    const auto answer = foretell(method, one, seen);
    if (!answer) continue;
    ++score.count;
    const double off = 100.0 * ((answer->likely - one.end) / one.nominal);
    score.bias += off;
    squares += off * off;
    held += answer->earliest <= one.end && one.end <= answer->latest ? 1 : 0;
    score.half_width += 50.0 * ((answer->latest - answer->earliest) / one.nominal);
  }
  if (score.count == 0) return score;
  const double n = score.count;
  score.bias /= n;
  score.rms = std::sqrt(squares / n);
  score.coverage = held / n;
  score.half_width /= n;
  return score;
}

EarlyScore early_score(const std::vector<TrialCase>& cases, double limit_share) {
  EarlyScore score;
  for (const TrialCase& one : cases) {
    const Second limit = one.nominal * limit_share;
    const Second stops = limit * 1.05;
    const bool reaches = one.end >= limit;
    if (reaches) {
      ++score.reached;
      score.saved_by_stopping_min += std::max(0.0, as_minutes(one.end - stops));
    } else {
      ++score.missed;
    }
    Second decided_at;
    const bool decided = ask_until(one, [&](Second at, const Forecast& forecast) {
      decided_at = at;
      const auto latest = end_at_most(forecast, one.nominal);
      return at < limit && latest && *latest < limit;
    });
    if (!decided) continue;
    score.wrong += reaches ? 1 : 0;
    score.decided += reaches ? 0 : 1;
    if (!reaches) score.saved_min += as_minutes(one.end - decided_at);
  }
  if (score.decided > 0) score.saved_min /= score.decided;
  if (score.reached > 0) score.saved_by_stopping_min /= score.reached;
  return score;
}

std::optional<Second> sign_before_end(const TrialCase& one) {
  Second seen;
  const bool told = ask_until(one, [&seen](Second at, const Forecast& forecast) {
    seen = at;
    return forecast.leaves_plateau;
  });
  return told ? std::optional(one.end - seen) : std::nullopt;
}

std::vector<TrialCase> of_group(const std::vector<TrialCase>& cases, const std::string& group) {
  std::vector<TrialCase> found;
  std::ranges::copy_if(cases, std::back_inserter(found),
                       [&group](const TrialCase& one) { return one.group == group; });
  return found;
}

}  // namespace leadwright
