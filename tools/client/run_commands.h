// SPDX-License-Identifier: Apache-2.0
// leadwright run trace. Blocks and gives the exit code.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "protocol/result.h"
#include "tools/client/options.h"

namespace leadwright {

/// The answer of GET /api/v1/runs/R-.../trace as CSV: "t_s,step,volts_v,amps_a,case_degc", one line a sample;
/// an empty field is a missing reading; amperes are positive when the battery gives. Fails with garbled if it
/// is no such answer.
Result<std::string> trace_csv(const std::string& body);

/// Prints some of the samples, or writes all of them as CSV. While the run goes on the bench gives a part of
/// them only, which is then said on standard error.
ExitCode run_trace(const ClientOptions& client, const RunTraceOptions& options);

}  // namespace leadwright
