// SPDX-License-Identifier: Apache-2.0
// One constant-current draw read from its trace: where the full current began, where the cut-off was crossed,
// and how well both are known. Pure; any thread.
#pragma once

#include <optional>

#include "daemon/battery/sample.h"
#include "protocol/result.h"

namespace leadwright {

/// What the draw should have been.
struct DrawTarget {
  Ampere full;
  Volt cutoff;
};

struct Discharge {
  Second at_full;              ///< from the first sample at full current to the crossing
  Coulomb ramp;                ///< charge delivered before that
  Ampere mean_at_full;         ///< mean of the current over at_full; the target if the ramp was all there was
  Second u_start;              ///< of the moment of the switch to full current, as time at full current
  Second u_crossing;           ///< of the moment of the crossing, from the distance of the samples around it
  VoltPerSecond slope;         ///< at the end; negative
  bool by_instrument = false;  ///< the load's own cut-off ended it, no sample lies below the cut-off
  std::optional<Celsius> temperature_initial;
  std::optional<Celsius> temperature_median;

  /// Time at full current and the ramp's charge as if drawn at the target current.
  Second as_if_at(Ampere full) const { return at_full + ramp / full; }
  Coulomb delivered() const { return ramp + mean_at_full * at_full; }
};

/// The crossing is interpolated between the samples around it. Where the load's own cut-off ended the draw
/// without one, it lies midway between the last sample above and the next. Fails with unsupported if the
/// cut-off was not crossed, if the voltage is missing at the crossing, or if the current left +-2 % of the
/// target before it (EN/IEC ask for +-1 % (M), and the meter adds its own error).
Result<Discharge> discharge_of(const Trace& trace, const Trace::StepSpan& draw, const DrawTarget& target);

/// The same of a draw that was stopped before its cut-off: up to its last sample at full current above it.
/// `slope` is that of the end, and zero if it can't be told. Fails with unsupported if the cut-off was
/// crossed, and as discharge_of does for the current.
Result<Discharge> discharge_so_far(const Trace& trace, const Trace::StepSpan& draw, const DrawTarget& target);

}  // namespace leadwright
