// SPDX-License-Identifier: Apache-2.0
// Who holds a port or a connection of this machine already, as far as the kernel tells this user. Reads
// /proc; blocks for a moment. Not for the daemon: for a command that must say whose line it would disturb.
#pragma once

#include <string>

#include "drivers/link.h"
#include "protocol/result.h"

namespace leadwright {

/// "leadwrightd, process 1234", or empty if nobody holds it or it can't be known.
std::string serial_owner(const std::string& device);

/// Fails with busy if a program of this machine has a TCP connection to that address: many instruments serve
/// one client, and a second one confuses the first. Other links say so themselves when they are opened.
Result<void> check_unconnected(const LinkAddress& address);

/// A busy port's error with the name of its owner; any other error as it is.
Error with_owner(Error error, const LinkAddress& address);

}  // namespace leadwright
