// SPDX-License-Identifier: Apache-2.0
// leadwright instrument list, show and trace: how instruments and their links do.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

struct InstrumentOptions {
  std::string instrument;
  std::string trace = "show";  ///< for trace: show, on, off or watch
};

ExitCode instrument_list(const ClientOptions& client);
ExitCode instrument_show(const ClientOptions& client, const InstrumentOptions& options);
/// Switches the byte trace of the instrument's link, prints what it holds, or follows it until it is switched
/// off. Watching a trace that is off prints what it holds and ends with try_again.
ExitCode instrument_trace(const ClientOptions& client, const InstrumentOptions& options);

}  // namespace leadwright
