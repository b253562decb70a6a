// SPDX-License-Identifier: Apache-2.0
// The daemon's database, read beside it: what the commands that grade again begin with.
#pragma once

#include <memory>
#include <vector>

#include "daemon/queue/ledger.h"
#include "daemon/settings/exit_codes.h"
#include "protocol/result.h"
#include "tools/client/options.h"

namespace leadwright {

/// Everything that was ever judged, closed tickets too; read-only. Fails with not_found without a database.
Result<std::unique_ptr<Ledger>> read_ledger(const ClientOptions& client);

/// Each mistake of a policy file on a line of standard error.
ExitCode report_policy(const std::vector<Error>& mistakes);

}  // namespace leadwright
