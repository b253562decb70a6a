// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/lithium_battery.h"

#include <algorithm>
#include <cmath>

namespace leadwright {

namespace {

constexpr Coulomb capacity = ampere_hours(40.0);
constexpr Ohm inner{0.012};

}  // namespace

void LithiumBattery::advance(Second time, Ampere discharge) {
  charged_ = std::clamp(charged_ - discharge * time / capacity, -0.2, 1.0);
}

Volt LithiumBattery::rested() const {
  const double bend = std::min(std::exp(-charged_ / 0.02), 40.0);
  const double top = std::exp((charged_ - 1.0) / 0.02);
  return Volt(12.70 + 0.35 * charged_ - 0.25 * bend + 0.9 * top);
}

Volt LithiumBattery::terminal(Ampere discharge) const {
  return rested() - discharge * inner;
}

Second LithiumBattery::truth_at_25a() const {
  return capacity / Ampere(25.0);
}

}  // namespace leadwright
