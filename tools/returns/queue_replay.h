// SPDX-License-Identifier: Apache-2.0
// How long the queue grows with so many bays and charging places: batteries come at random and occupy, in
// their order, what each occupied in its rehearsal, first come, first served. Pure; any thread. Never: knows
// why a place was occupied, so a stay that waited for the morning stays as long where it would not have.
#pragma once

#include <cstdint>
#include <vector>

#include "tools/returns/mix.h"
#include "tools/returns/return_visit.h"

namespace leadwright {

struct QueueLength {
  int bays = 0;
  int charging_places = 0;
  double waiting_mean = 0.0;  ///< batteries that wait for a place, over time
  int waiting_most = 0;
  Second wait_mean;        ///< of one battery, over all its stays
  double bays_busy = 0.0;  ///< share of their time
  double charging_busy = 0.0;
  bool keeps_up = true;  ///< false: the places are too few, and the queue grows as long as batteries come
};

inline constexpr int arrivals_least = 2000;

/// One for each number of bays and places of the shape. `visits` come in their order and anew, until
/// `arrivals_least` have come. Nothing without visits.
std::vector<QueueLength> replay_queue(const std::vector<std::vector<Stay>>& visits, const QueueShape& shape,
                                      const People& people, std::uint64_t seed);

}  // namespace leadwright
