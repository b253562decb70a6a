// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/meter.h"

#include <cmath>

namespace leadwright {

namespace {

// Shares of the declared accuracy; with normal() bounded by 3.5 their sum stays below 1.
constexpr double gain_share = 0.6;
constexpr double offset_share = 0.5;
constexpr double noise_share = 0.06;

}  // namespace

Meter::Meter(SimAccuracy accuracy, SimRandom& random)
    : resolution_(accuracy.resolution),
      gain_(accuracy.relative * gain_share * random.even()),
      offset_(accuracy.absolute * offset_share * random.even()),
      noise_(accuracy.absolute * noise_share) {}

double Meter::shown(double value, SimRandom& random) const {
  const double noise = noise_ > 0.0 ? noise_ * random.normal() : 0.0;
  return std::round((biased(value) + noise) / resolution_) * resolution_;
}

}  // namespace leadwright
