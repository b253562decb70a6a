// SPDX-License-Identifier: Apache-2.0
// The [web] table: where the bench listens, under which names, and who is let in. Pure; any thread.
#pragma once

#include "daemon/settings/settings.h"
#include "protocol/toml_reader.h"

namespace leadwright {

/// Writes into `settings`; mistakes go into the table's document.
void read_web(const TomlTable& web, Settings& settings);

}  // namespace leadwright
