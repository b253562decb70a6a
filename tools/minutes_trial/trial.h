// SPDX-License-Identifier: Apache-2.0
// Reserve capacity as the bench states it against the truth of simulated batteries: discharges from full,
// read by meters with the errors that their profiles allow, stated by the same function as at the bench.
// Without the daemon, so that thousands take a minute; what charging and planning add shows in a rehearsal of
// returns. Pure; any thread. Read next: main.cpp (the table).
#pragma once

#include <cstdint>
#include <vector>

#include "tools/returns/accuracy.h"

namespace leadwright {

/// So many of each kind of fault, in no order. `visit.minutes` is what was stated, `truth.minutes` the mean
/// of what the battery gives at 25 degC.
std::vector<RehearsedReturn> stated_minutes(int of_each, std::uint64_t seed);

}  // namespace leadwright
