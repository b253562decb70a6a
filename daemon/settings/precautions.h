// SPDX-License-Identifier: Apache-2.0
// What the bench is told about its room, and the times that it keeps for the sake of people. Values only.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/quantities/quantity.h"

namespace leadwright {

/// Fresh air through the room. Not SI, because ventilation is stated and bought in cubic metres an hour.
struct Airflow {
  double m3_per_h = 0.0;
  auto operator<=>(const Airflow&) const = default;
};

/// Below which weight a battery that calls itself lead is held. Lead takes some 0.25 kg an ampere-hour at 12
/// V, lithium iron phosphate some 0.12 (both from memory).
struct WeightLimits {
  double least_kg_per_ah = 0.18;                              ///< at 12 V; common practice, no source
  std::vector<std::pair<std::string, double>> least_by_size;  ///< size code and kg; goes before the other
};

struct Precautions {
  /// After a charge, before a heavy draw and before unclamping (common practice, no source).
  Second gas_off = minutes(60.0);
  /// Absent: nobody has declared it.
  std::optional<Airflow> airflow;
  WeightLimits weight;
};

/// Whom the bench calls when it has an alarm. Machine time.
struct AlarmSettings {
  /// A program by its whole path, with arguments; empty: nobody is called.
  std::vector<std::string> command;
  std::vector<std::string> second_command;  ///< once nobody has acknowledged `escalate_after` calls
  Second repeat = minutes(5.0);
  int escalate_after = 3;
};

}  // namespace leadwright
