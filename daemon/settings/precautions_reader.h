// SPDX-License-Identifier: Apache-2.0
// Reads the precautions out of the configuration's [bench] table. Private to this folder.
#pragma once

#include "daemon/settings/precautions.h"
#include "protocol/toml_reader.h"

namespace leadwright {

/// Keys that are absent leave what `into` has. Mistakes go to the table's document.
void read_precautions(const TomlTable& bench, Precautions& into);

}  // namespace leadwright
