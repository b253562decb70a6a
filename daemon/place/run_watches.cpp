// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/run_watches.h"

namespace leadwright {

void RunWatches::begin_run(Coulomb capacity, int cells, std::optional<Volt> rested,
                           std::optional<Celsius> temperature) {
  cells_ = cells;
  if (temperature) warmth_.begin(*temperature);
  if (rested) still_.begin(capacity, cells, *rested);
}

void RunWatches::begin_charge(Ampere limit) {
  runaway_.begin(limit);
  falling_.begin(limit, cells_);
  lost_.clear();
  ended_.clear();
}

void RunWatches::begin_draw() {
  clamp_.clear();
}

std::optional<WatchAlarm> RunWatches::check_senses(const Sample& working, Volt other) {
  if (!working.volts || !working.amps) return std::nullopt;
  auto sentence = senses_.check(*working.volts, other, abs(*working.amps));
  if (!sentence) return std::nullopt;
  return WatchAlarm{false, std::move(*sentence)};
}

std::optional<Sentence> RunWatches::check_heat(const Sample& sample, Energy energy) {
  const Celsius temperature = *sample.temperature;
  if (auto sentence = rise_.check(sample.at, temperature)) return sentence;
  if (energy != Energy::charge || !sample.volts || !sample.amps) return std::nullopt;
  const Ampere amps = abs(*sample.amps);
  if (auto sentence = still_.check(sample.at, *sample.volts, amps, temperature)) return sentence;
  if (auto sentence = warmth_.check(temperature)) return sentence;
  return runaway_.check(sample.at, amps, temperature);
}

std::optional<WatchAlarm> RunWatches::check(const Sample& sample, Energy energy) {
  if (energy == Energy::none) return std::nullopt;
  if (sample.temperature) {
    if (auto sentence = check_heat(sample, energy)) return WatchAlarm{true, std::move(*sentence)};
  }
  if (!sample.volts || !sample.amps) return std::nullopt;
  const Ampere amps = abs(*sample.amps);
  if (energy == Energy::charge) {
    if (auto sentence = falling_.check(sample.at, *sample.volts, amps))
      return WatchAlarm{true, std::move(*sentence)};
    if (auto sentence = ended_.check(amps)) return WatchAlarm{false, std::move(*sentence)};
    if (auto sentence = lost_.check(sample.at, amps)) return WatchAlarm{false, std::move(*sentence)};
    return std::nullopt;
  }
  if (auto sentence = clamp_.check(sample.at, *sample.volts, amps))
    return WatchAlarm{false, std::move(*sentence)};
  return std::nullopt;
}

}  // namespace leadwright
