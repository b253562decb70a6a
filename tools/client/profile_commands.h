// SPDX-License-Identifier: Apache-2.0
// leadwright profile check. Needs no daemon and no instrument.
#pragma once

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

/// Prints, file by file, each mistake as "file:line:column: what: how to mend it", or what the profile can
/// and can't do. Exit code bad_data if a file has mistakes, no_input if one can't be read.
ExitCode profile_check(const ClientOptions& client, const ProfileCheckOptions& options);

constexpr const char* profile_check_help = R"(Examples:
  leadwright profile check config/profiles/generic_scpi_load.toml
  leadwright profile check /etc/leadwright/profiles/*.toml --json
Exit codes: 0 all are right; 65 one has mistakes, each shown as file:line:column: what: how to mend it;
  66 one can't be read.)";

}  // namespace leadwright
