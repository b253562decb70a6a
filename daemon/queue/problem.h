// SPDX-License-Identifier: Apache-2.0
// Errors as answers: problem details (RFC 9457) with `where` and `mend`.
#pragma once

#include "daemon/queue/service.h"
#include "protocol/result.h"

namespace leadwright {

/// The status that fits the error's code, and {"type","title","status","code","detail","where","mend"}.
Response problem(const Error& error);
/// The same with another status.
Response problem(const Error& error, int status);

/// There is no place of that name.
Error no_place(const std::string& name);
/// There is no ticket of that number.
Error no_ticket(const std::string& shown_id);

}  // namespace leadwright
