// SPDX-License-Identifier: Apache-2.0
// What simulated worlds showed, as text for people.
#pragma once

#include <string>

#include "tools/simtest_world/seed_run.h"
#include "tools/simtest_world/simtest_options.h"

namespace leadwright {

/// What was violated, when, and the command that shows it again; empty if nothing was.
std::string violations_text(const SimtestOptions& options, std::uint64_t seed, const SeedResult& result);
/// Two runs of the same seed had different logs.
std::string differs_text(const SimtestOptions& options, std::uint64_t seed);
/// The process ended in the middle of a seed, or hung.
std::string broken_off_text(const SimtestOptions& options, std::uint64_t seed, bool hung);
/// One line, that of a seed's event log.
std::string hash_text(std::uint64_t seed, std::uint64_t hash);
std::string table_text(const Tally& sum, Second wall_time);
/// The kinds of faults and mistakes that struck less often than `least`; empty if none did.
std::string seldom_text(const Tally& sum, std::uint64_t least);

}  // namespace leadwright
