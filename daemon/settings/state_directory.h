// SPDX-License-Identifier: Apache-2.0
// Where the daemon keeps what must survive: the database, its lock, its backups and the address of its page.
#pragma once

#include <string>

namespace leadwright {

/// `option` (from --state) if not empty, else $STATE_DIRECTORY (its first entry, as systemd sets it), else
/// /var/lib/leadwright as root, else $XDG_STATE_HOME/leadwright or $HOME/.local/state/leadwright.
/// Empty if none of these can be known: ask for --state then. Makes no folder.
std::string state_directory(const std::string& option);

}  // namespace leadwright
