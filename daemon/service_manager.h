// SPDX-License-Identifier: Apache-2.0
// What the daemon tells the service manager that started it (systemd), over the socket in NOTIFY_SOCKET.
// Nothing happens without one. Thread: control. Never: blocks. service_manager.cpp is the only file that sees
// libsystemd. Read next: watchdog.h.
#pragma once

#include <optional>
#include <string>

#include "daemon/quantities/quantity.h"

namespace leadwright {

namespace service_manager {

void ready(const std::string& status);
void status(const std::string& status);
void alive();
void stopping();

/// How often alive() must be said at least; missing if nobody listens for it.
std::optional<Second> alive_within();

}  // namespace service_manager

}  // namespace leadwright
