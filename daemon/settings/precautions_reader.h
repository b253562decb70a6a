// SPDX-License-Identifier: Apache-2.0
// Reads the precautions and the alarm out of the configuration. Private to this folder.
#pragma once

#include "daemon/settings/precautions.h"
#include "protocol/toml_reader.h"

namespace leadwright {

/// Keys that are absent leave what `into` has. Mistakes go to the table's document.
void read_precautions(const TomlTable& bench, Precautions& into);

/// The same for the [weight] table. A size given again replaces what an earlier file said of it.
void read_weight(const TomlTable& weight, WeightLimits& into);

/// The same for the [alarm] table. A command that is no file of this machine is a mistake.
void read_alarm(const TomlTable& alarm, AlarmSettings& into);

}  // namespace leadwright
