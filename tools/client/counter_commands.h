// SPDX-License-Identifier: Apache-2.0
// leadwright part show, bench show, session show: what the page shows beside tickets and places. Each blocks
// and gives the exit code.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

ExitCode part_show(const ClientOptions& client, const PartOptions& options);
/// With --json the whole bench as it came, whatever is searched for.
ExitCode bench_show(const ClientOptions& client, const BenchShowOptions& options);
/// Who asks, and with which rank.
ExitCode session_show(const ClientOptions& client);

/// Alarms, places and the tickets that have `search` in their row, as people read them.
std::string show_bench(const std::string& body, const std::string& search);

}  // namespace leadwright
