// SPDX-License-Identifier: Apache-2.0
// Charging makes gas: for some time after it nothing heavy is drawn and nothing is unclamped. And what counts
// as heavy. Pure; any thread.
#pragma once

#include <optional>

#include "daemon/battery/said.h"
#include "daemon/clock/clock.h"
#include "daemon/procedure/procedure.h"

namespace leadwright {

/// A draw above this waits for the gas to go and for the shield to be closed.
constexpr Ampere light_draw_max{25.0};

/// Bench time, since the gas belongs to the battery; by the monotonic clock, since setting the machine's date
/// makes no gas go.
struct GasOff {
  Second wait{0.0};
  /// When current last went into the battery.
  std::optional<Instant> charged_at;

  /// Zero once it has gone, or where there was none.
  Second left(const Clock& bench) const;
  /// "do not unclamp until 2026-01-31T14:45:10Z, 43 min from now: ..."; empty once it has gone.
  Sentence warning(const Clock& bench) const;
};

/// A step of it puts current in.
bool charges(const Procedure& procedure);

/// The most that a step takes out of the battery, as far as `values` tell before the run (bind_names first,
/// or amounts by own names count as nothing). Where `load_amps_max` says that the load can't, it is the
/// variant.
Ampere heaviest_draw(const Procedure& procedure, Values values);

}  // namespace leadwright
