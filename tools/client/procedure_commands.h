// SPDX-License-Identifier: Apache-2.0
// leadwright procedure: check and explain need no daemon; list and plan ask it.
#pragma once

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

/// Prints, file by file, each mistake as "file:line:column: what: how to mend it", or the longest time that
/// it can take. Exit code bad_data if a file has mistakes, no_input if one can't be read.
ExitCode procedure_check(const ClientOptions& client, const ProcedureOptions& options);
/// A file, or a procedure of options.folder by its name, in plain sentences.
ExitCode procedure_explain(const ClientOptions& client, const ProcedureOptions& options);
ExitCode procedure_list(const ClientOptions& client);
/// What the daemon would do with a ticket's battery, or one that is described, at a place. Exit code refused
/// if something stands in the way.
ExitCode procedure_plan(const ClientOptions& client, const ProcedurePlanOptions& options);

constexpr const char* procedure_help = R"(Examples:
  leadwright procedure list
  leadwright procedure check config/procedures/*.toml
  leadwright procedure explain 'reserve capacity'
  leadwright procedure plan 'reserve capacity' --place bay-1 --ticket T-000001-3
  leadwright procedure plan 'standard charge' --place charge-1 --chemistry agm --cells 6 --c20 '70 Ah'
Exit codes: 0 all is right, it can run; 65 a file has mistakes; 66 no such file, procedure, place or ticket;
  69 no daemon; 77 something stands in the way of the plan.)";

}  // namespace leadwright
