// SPDX-License-Identifier: Apache-2.0
// The first sign that a discharge ends before its curve says so: one cell, or the plates of all, leave the
// plateau, and the voltage falls below what the curve laid upon everything but the last minutes expects.
// Pure; no allocation; nothing grows. Any thread.
#pragma once

#include <optional>

#include "daemon/battery/curve_fit.h"

namespace leadwright {

class PlateauWatch {
 public:
  /// C: chosen on the first halves of the reference groups B and E and on our simulator
  /// (tools/forecast_trial): with 5 min and 25 mV a weak cell shows 6 to 10 min before the end, and none of
  /// B's ever did.
  static constexpr Second lag = minutes(5.0);
  static constexpr Volt fall_min{0.025};  ///< of the whole battery

  /// As DischargeBins::add.
  void add(Second at, Volt cell);
  /// Volts a cell by which the last minute lies below the expectation; missing in the first minutes.
  std::optional<Volt> fall(const DesignCurve& curve, const FitPrior& prior, Volt cell_cutoff) const;

 private:
  struct Mean {
    Second at;
    Volt cell;
    int count = 0;
  };
  static constexpr Second mean_of{15.0};
  static constexpr std::size_t held_back = 20;  ///< means that make the lag
  static constexpr std::size_t last_minute = 4;

  DischargeBins before_;  ///< all but the last minutes
  std::array<Mean, held_back> recent_;
  std::size_t next_ = 0;
  std::size_t count_ = 0;
  Mean open_;  ///< not yet complete
  Second begun_;
};

}  // namespace leadwright
