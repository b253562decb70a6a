// SPDX-License-Identifier: Apache-2.0
// leadwright ticket add, batch, list, show, move, close, hold, recheck. Each blocks and gives the exit code.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "protocol/result.h"
#include "tools/client/options.h"

namespace leadwright {

/// The body of POST /api/v1/tickets that these options ask for, over what `part`, a JSON object, says of the
/// label. Fails with bad_input for an amount that can't be read, and for a file together with other options;
/// not_found for a file that can't be opened.
Result<std::string> drop_off_body(const TicketAddOptions& options, const std::string& part = "{}");

ExitCode ticket_add(const ClientOptions& client, const TicketAddOptions& options);
/// What survives a look, by batch_rules.h, gets a ticket each, one after the other.
ExitCode ticket_batch(const ClientOptions& client, const TicketBatchOptions& options);
ExitCode ticket_list(const ClientOptions& client, const TicketListOptions& options);
ExitCode ticket_show(const ClientOptions& client, const TicketOptions& options);
ExitCode ticket_move(const ClientOptions& client, const TicketOptions& options);
ExitCode ticket_close(const ClientOptions& client, const TicketOptions& options);
/// `target` is the date until which it is held.
ExitCode ticket_hold(const ClientOptions& client, const TicketOptions& options);
ExitCode ticket_inspect(const ClientOptions& client, const TicketInspectOptions& options);
ExitCode ticket_recheck(const ClientOptions& client, const TicketOptions& options);

}  // namespace leadwright
