// SPDX-License-Identifier: Apache-2.0
// The daemon's database, read beside it: what the commands that grade again begin with.
#pragma once

#include <memory>
#include <string>

#include "daemon/queue/ledger.h"
#include "protocol/result.h"
#include "tools/client/options.h"

namespace leadwright {

/// Where the daemon keeps what it knows, by --state or the usual place. Fails with not_found.
Result<std::string> state_folder(const ClientOptions& client);

/// Everything that was ever judged, closed tickets too; read-only. Fails with not_found without a database.
Result<std::unique_ptr<Ledger>> read_ledger(const ClientOptions& client);

}  // namespace leadwright
