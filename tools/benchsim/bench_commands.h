// SPDX-License-Identifier: Apache-2.0
// The control line of the simulated bench: what a hand does, and what only a simulator can tell.
#pragma once

#include <string>
#include <string_view>

#include "tools/benchsim/benchsim.h"

namespace leadwright {

/// Carries out one line and gives a one-line answer, "ok", "ok: ..." or "error: ...":
///   plug PLACE SPEC          a new battery (battery_spec.h) onto the posts of a place
///   add NAME SPEC            a new battery onto the shelf
///   move FROM TO             FROM is a battery or a place, TO a place or "shelf"
///   unplug PLACE             to the shelf
///   fault INSTRUMENT FAULT on|off   ignores_off, stuck_reading, no_answer, wrong_identity
///   power INSTRUMENT         off and on again
///   truth NAME|PLACE         minutes at 25 A, and why no charger can charge it
///   posts PLACE              what flows there now, whatever the instruments say
///   list                     every battery, separated by " | "
std::string bench_command(SimBench& bench, std::string_view line);

}  // namespace leadwright
