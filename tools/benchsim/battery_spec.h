// SPDX-License-Identifier: Apache-2.0
// Batteries by one word, as a control line, a scenario or a test names them.
#pragma once

#include <memory>
#include <string_view>

#include "protocol/result.h"
#include "tools/benchsim/sim_battery.h"

namespace leadwright {

/// "cell:KIND[,key=value]...", "replay:/path.csv" or "lithium". KIND is sound, discharged, worn, weak_cell,
/// shorted_cell, open, high_resistance, sulphated, dried_out, reversed_cell, self_discharge, reversed (as
/// a whole) or six_volt; keys are c20_ah, charged (0..1), wear (0..1), cells and ambient_degc. Fails with
/// bad_input, naming what is wrong.
Result<std::unique_ptr<SimBattery>> make_battery(std::string_view spec);

}  // namespace leadwright
