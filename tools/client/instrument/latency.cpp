// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/latency.h"

#include <algorithm>
#include <cmath>

#include "daemon/quantities/nearest_rank.h"

namespace leadwright {

namespace {

constexpr double step_s = 0.010;

}  // namespace

Latency latency_of(std::vector<Second> round_trips) {
  if (round_trips.empty()) return {};
  std::ranges::sort(round_trips);
  return {round_trips.size(), nearest_rank(round_trips, 0.5), nearest_rank(round_trips, 0.99),
          round_trips.back()};
}

Second proposed_timeout(const Latency& latency) {
  // A thousandth of a step is no reason for the next one: 3 x 0.01 is a little above 0.03.
  const double steps = std::ceil(3.0 * latency.p99.si() / step_s - 1e-3);
  return std::max(Second(steps * step_s), timeout_floor);
}

}  // namespace leadwright
