// SPDX-License-Identifier: Apache-2.0
// Which wire is wrong: what a person at the bench should look at, from what did and did not come over a link.
// Pure; any thread.
#pragma once

#include <string>
#include <vector>

#include "drivers/link.h"
#include "drivers/profile.h"
#include "protocol/result.h"
#include "tools/client/instrument/wire_log.h"

namespace leadwright {

/// "115200 8N1" of a serial link; empty for others.
std::string line_settings(const LinkAddress& address, const SerialSettings& serial);

/// `cause`, made clearer by what crossed the wire after the link was open: nothing came in: power, crossed
/// wires, speed; our own words came back: a loop; bytes that are no text where text was asked for: speed or
/// parity; text that is no identity: something else. Any other cause is passed on as it is.
Error wire_fault(const Error& cause, const std::vector<WirePiece>& pieces, const LinkAddress& address,
                 const SerialSettings& serial, DialectKind dialect = DialectKind::scpi);

/// One error for tries at several speeds, each with its own.
Error wire_faults(const std::vector<std::pair<std::string, Error>>& tries, const LinkAddress& address);

}  // namespace leadwright
