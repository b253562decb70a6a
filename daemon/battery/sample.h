// SPDX-License-Identifier: Apache-2.0
// One line of a trace: what a place's instruments said at one moment of a run.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "daemon/clock/instant.h"
#include "daemon/quantities/quantity.h"

namespace leadwright {

/// `amps` is positive when the battery gives (discharge), negative when it takes (charge).
struct Sample {
  Second at;  ///< since the start of the run
  int step = 0;
  std::optional<Volt> volts;
  std::optional<Ampere> amps;
  std::optional<Celsius> temperature;
};

/// A run's samples in order of time, and what happened to its steps.
struct Trace {
  struct StepSpan {
    int step = 0;  ///< index in the procedure
    std::string name;
    std::size_t first = 0;  ///< index of its first sample
    std::size_t last = 0;   ///< one past its last sample
    Second started_at;
    Second ended_at;
    std::string end;  ///< name of the end condition that ended it, or "time", "instrument cut-off"
    /// It goes on with the span before it of that name, which an interruption ended.
    bool continues = false;
  };
  std::vector<Sample> samples;
  std::vector<StepSpan> steps;
};

}  // namespace leadwright
