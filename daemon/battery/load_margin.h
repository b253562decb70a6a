// SPDX-License-Identifier: Apache-2.0
// How far above the least voltage a load test ended, with what is doubtful in that comparison beyond the
// meters: the battery's temperature, its repeatability and the table itself. Private to this folder; pure.
#pragma once

#include <optional>
#include <vector>

#include "daemon/battery/half_cca.h"
#include "daemon/battery/trace_reading.h"

namespace leadwright {

struct LoadedReading {
  Volt volts;
  Ampere amps;
  Second after;           ///< full current
  VoltPerSecond slope{};  ///< over the last seconds
  bool ended_early = false;
  std::optional<Celsius> temperature;
};

/// The test as it was done, before it is judged.
struct LoadTest {
  MeanVolts rest;
  LoadedReading loaded;
  CrankingLoad wanted;
  Volt volts;  ///< at the wanted current
  bool estimated = false;
  Volt drop() const { return abs(rest.mean - loaded.volts); }
  double factor() const { return wanted.amps / loaded.amps; }
  /// What an error of a reading grows to.
  double reach() const { return estimated ? factor() : 1.0; }
};

/// What the voltage is compared with, and by whom.
struct LoadLimit {
  Celsius battery;
  Volt least;
  const MeterAccuracy& accuracy;
  const EstimatorSettings& settings;
  const Nameplate& nameplate;
};

/// load_margin; and load_margin_usual, where the load was chosen by ampere-hours and drawn in full: an
/// estimate of what would be left at half the cranking current that is usual for so many ampere-hours.
/// `budget` is that of `at_load`, the voltage.
std::vector<Finding> load_margins(const LoadTest& test, const Finding& at_load,
                                  const std::vector<BudgetLine>& budget, const LoadLimit& limit);

}  // namespace leadwright
