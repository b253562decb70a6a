// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/reach.h"

#include <fmt/format.h>

#include <algorithm>

namespace leadwright {

Result<void> can_draw(const Profile& load, Ampere amps, Volt volts, std::optional<Volt> cutoff) {
  constexpr const char* mend = "move the battery to a bay with another load";
  if (amps > load.amps_max.value_or(amps)) {
    return fail(Errc::unsupported, fmt::format("the load here can't draw {:.1f} A", amps.si()), load.name,
                mend);
  }
  if (amps < load.amps_min.value_or(amps)) {
    return fail(Errc::unsupported, fmt::format("the load here can't draw as little as {:.2f} A", amps.si()),
                load.name, mend);
  }
  if (const Watt watts = volts * amps; watts > load.watts_max.value_or(watts)) {
    return fail(Errc::unsupported,
                fmt::format("{:.1f} A at {:.1f} V are {:.0f} W, and the load here takes {:.0f} W", amps.si(),
                            volts.si(), watts.si(), load.watts_max->si()),
                load.name, mend);
  }
  if (cutoff && *cutoff < load.full_current_volts_min.value_or(*cutoff)) {
    return fail(
        Errc::unsupported,
        fmt::format("the load here draws its full current down to {:.2f} V only, and {:.2f} V is asked",
                    load.full_current_volts_min->si(), cutoff->si()),
        load.name, mend);
  }
  return {};
}

Result<void> can_charge(const Profile& charger, Volt volts) {
  if (volts <= charger.volts_max.value_or(volts) && volts >= charger.volts_min.value_or(volts)) return {};
  return fail(Errc::unsupported, fmt::format("the charger here can't be set to {:.2f} V", volts.si()),
              charger.name, "move the battery to a place with another charger");
}

Ampere charge_limit(const Profile& charger, Volt volts, Ampere wanted) {
  Ampere limit = std::min(wanted, charger.amps_max.value_or(wanted));
  if (charger.watts_max && volts > Volt(0.0)) limit = std::min(limit, *charger.watts_max / volts);
  return limit;
}

}  // namespace leadwright
