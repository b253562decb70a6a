// SPDX-License-Identifier: Apache-2.0
#include "tools/client/rehearse_commands.h"

#include <fmt/format.h>

#include <iostream>

#include "tools/rehearse/trace_rehearsal.h"
#include "tools/rehearse/world.h"

namespace leadwright {

ExitCode rehearse_trace(const ClientOptions& client, const RehearseTraceOptions& options) {
  TraceRehearsalOptions rehearsal;
  rehearsal.files = options.files;
  rehearsal.config_folder = options.config.empty() ? default_config_folder() : options.config;
  rehearsal.wire_file = options.wire;
  rehearsal.log_file = options.log;
  rehearsal.seed = options.seed;
  rehearsal.realistic = options.realistic;
  const auto rehearsals = rehearse_traces(rehearsal);
  if (!rehearsals) {
    std::cerr << "leadwright: " << rehearsals.error().line() << '\n';
    return exit_code(rehearsals.error().code);
  }
  if (client.json) {
    std::cout << trace_rehearsals_json(*rehearsals);
    return ExitCode::ok;
  }
  for (const TraceRehearsal& each : *rehearsals) {
    const std::string minutes = each.reserve_capacity_min
                                    ? fmt::format("{:8.2f} min (u {:.2f})", *each.reserve_capacity_min,
                                                  each.reserve_capacity_u_min.value_or(0.0))
                                    : std::string("   no result");
    std::cout << fmt::format("{}  {}  {} samples, {} exchanges: {}\n", minutes, each.file, each.samples,
                             each.exchanges, each.end_reason);
  }
  return ExitCode::ok;
}

}  // namespace leadwright
