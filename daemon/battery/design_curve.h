// SPDX-License-Identifier: Apache-2.0
// The as-new curve of one battery design: how its voltage falls in a draw at 25 A, over the share of the time
// to the cut-off. Learnt from the bench's own sound batteries, never from one or two. Pure; any thread.
// Read next: curve_fit.h (how another battery is laid upon it), design_curve_text.h (its file).
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "daemon/battery/nameplate.h"
#include "daemon/battery/sample.h"

namespace leadwright {

/// Batteries of one key are of one design as far as their labels say.
struct DesignKey {
  std::string size_code;
  Chemistry chemistry = Chemistry::unknown;
  Second rated;  ///< reserve capacity on the label
  bool operator==(const DesignKey&) const = default;
};

struct DesignCurve {
  static constexpr std::size_t knots = 65;
  /// P: three could all come from one bad week of one plant; from five the mean says more than the spread.
  static constexpr int batteries_min = 5;

  DesignKey key;
  int version = 1;
  int batteries = 0;               ///< that it was learnt from; zero for the built-in one
  Second time;                     ///< mean from full current to the cut-off
  double time_spread = 0.0;        ///< standard deviation of that, relative
  std::array<Volt, knots> cell{};  ///< volts a cell at equal shares of the time, 0 to 1

  struct Point {
    Volt volts;
    Volt per_share;  ///< slope: volts for the whole time
  };
  /// Volts a cell at a share of the time; beyond both ends the first and last piece go on straight.
  Point at(double share) const;
};

/// One discharge of a sound battery at 25 A, from full current (time zero) to the crossing of the cut-off.
struct DesignTrace {
  std::span<const Sample> samples;  ///< `at` since the start of the run
  Second full_from;                 ///< when full current began, on the samples' time
  Second at_full;                   ///< from there to the crossing
  int cells = 0;
  Volt cell_cutoff{1.75};  ///< which the last knot is by definition
};

/// The key of what the label says; missing if it lacks the size or the reserve capacity.
std::optional<DesignKey> design_of(const Nameplate& nameplate);

/// The mean of the traces at equal shares. The first minute, in which the plates' double layer and the ramp
/// show, is replaced by the straight line of what follows. Fails with unsupported with fewer than
/// batteries_min traces, and with a trace that is shorter than ten minutes or misses more than 2 % in one
/// gap.
Result<DesignCurve> learn_design(const DesignKey& key, int version, std::span<const DesignTrace> traces);

/// The shape of one trace, without the minimum: for trials and for learn_design.
Result<DesignCurve> shape_of(const DesignTrace& trace);

}  // namespace leadwright
