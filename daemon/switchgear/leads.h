// SPDX-License-Identifier: Apache-2.0
// What a meter says of the leads that it hangs on: do they reach a battery, or are they dead? So a contact's
// position is proved, whatever its coil and its mirror contact say.
#pragma once

#include "daemon/switchgear/instrument_watch.h"

namespace leadwright {

/// What a meter may read on leads that no battery reaches, in either direction. Far below one cell of any
/// battery that is worth a test, far above a meter's offset (common practice, no source).
constexpr Volt dead_volts_max{1.0};
/// Bench time in which capacitors on dead leads lose their charge (from memory of electronic loads and
/// chargers; more is taken for a welded contact).
constexpr Second dead_within{5.0};
/// Bench time in which a battery shows after its contact has closed.
constexpr Second battery_within{2.0};

/// Waits until the meter reads dead leads. Fails with not_verified after dead_within, or if nothing is read.
Task<Result<void>> await_dead(InstrumentWatch& meter, Clocks clocks);

/// Waits until the meter reads a battery. Fails with refused after battery_within, or as the meter does.
Task<Result<void>> await_battery(InstrumentWatch& meter, Clocks clocks);

}  // namespace leadwright
