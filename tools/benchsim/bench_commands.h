// SPDX-License-Identifier: Apache-2.0
// The control line of the simulated bench: what a hand does, and what only a simulator can tell.
#pragma once

#include <string>
#include <string_view>

#include "tools/benchsim/benchsim.h"

namespace leadwright {

/// Carries out one line and gives a one-line answer, "ok", "ok: ..." or "error: ...". The lines are those of
/// bench_command_help().
std::string bench_command(SimBench& bench, std::string_view line);

/// One line for each command: its words, and what it does.
std::string bench_command_help();

}  // namespace leadwright
