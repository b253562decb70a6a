// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/peukert.h"

#include <cmath>

#include "daemon/battery/reserve_capacity.h"

namespace leadwright {

Result<double> peukert_exponent(const Discharged& slow, const Discharged& fast) {
  const bool positive = slow.amps > Ampere(0.0) && fast.amps > Ampere(0.0) && slow.lasted > Second(0.0) &&
                        fast.lasted > Second(0.0);
  if (!positive || slow.amps == fast.amps) {
    return fail(Errc::unsupported, "a rate exponent needs two discharges at different currents", "peukert",
                "state both the 20-hour capacity and the reserve capacity");
  }
  return std::log(slow.lasted / fast.lasted) / std::log(fast.amps / slow.amps);
}

Result<Second> time_at(const RateLaw& law, Ampere amps) {
  if (amps <= Ampere(0.0) || amps > law.fastest) {
    return fail(Errc::unsupported, "the rate law was never measured at this current", "peukert",
                "ask for a current between the two that it comes from");
  }
  return law.over * std::pow(law.capacity / (amps * law.over), law.k);
}

Result<RateLaw> rate_law(Coulomb c20, Second reserve_capacity) {
  const Second over = hours(20.0);
  auto k = peukert_exponent({c20 / over, over}, {reserve_capacity_current, reserve_capacity});
  if (!k) return pass(k);
  return RateLaw{c20, over, *k, reserve_capacity_current};
}

}  // namespace leadwright
