// SPDX-License-Identifier: Apache-2.0
// How fast an instrument answers, and what time-out that asks for. Pure; any thread.
#pragma once

#include <cstddef>
#include <vector>

#include "daemon/quantities/quantity.h"

namespace leadwright {

struct Latency {
  std::size_t count = 0;
  Second median;
  Second p99;
  Second longest;
};

/// Of round trips, by nearest rank; all zero if there is none.
Latency latency_of(std::vector<Second> round_trips);

/// Three times the 99th percentile, so that what is slow but well is not taken for lost; in whole 10 ms, and
/// never below `timeout_floor`, which an adapter that gathers bytes and a busy machine need anyway.
Second proposed_timeout(const Latency& latency);
constexpr Second timeout_floor{0.05};  // common practice, no source

}  // namespace leadwright
