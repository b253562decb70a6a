// SPDX-License-Identifier: Apache-2.0
// Can this instrument do what a step asks, by the limits that its profile declares? Pure; any thread.
#pragma once

#include <optional>

#include "drivers/profile.h"

namespace leadwright {

/// A draw of `amps` from a battery that stands at `volts` now and is drawn down to `cutoff`. Fails with
/// unsupported: too much or too little current, too much power, or a cut-off below the lowest voltage at
/// which the load still takes its full current.
Result<void> can_draw(const Profile& load, Ampere amps, Volt volts, std::optional<Volt> cutoff);

/// A charge up to `volts`. Fails with unsupported if the charger can't be set so high or so low.
Result<void> can_charge(const Profile& charger, Volt volts);

/// The most that the charger may give at `volts`: its own limits of current and power, and `wanted`.
Ampere charge_limit(const Profile& charger, Volt volts, Ampere wanted);

}  // namespace leadwright
