// SPDX-License-Identifier: Apache-2.0
// Those of the bench's commands that deal with lines, relays and what they switch: see bench_commands.cpp.
#pragma once

#include <string>
#include <string_view>

#include "tools/benchsim/benchsim.h"

namespace leadwright {

std::string cable_command(SimBench& bench, std::string_view rest);
std::string swap_command(SimBench& bench, std::string_view rest);
std::string wire_command(SimBench& bench, std::string_view rest);
std::string relay_command(SimBench& bench, std::string_view rest);
std::string input_command(SimBench& bench, std::string_view rest);
std::string contacts_command(SimBench& bench, std::string_view rest);
std::string joined_command(SimBench& bench, std::string_view rest);
std::string instruments_command(SimBench& bench, std::string_view rest);
std::string lines_command(SimBench& bench, std::string_view rest);

}  // namespace leadwright
