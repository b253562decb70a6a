// SPDX-License-Identifier: Apache-2.0
// What an instrument's answers mean under a profile. Pure.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "drivers/profile.h"
#include "protocol/result.h"

namespace leadwright {

/// Equal as text, as numbers or as booleans: "0", "+0" and "OFF" are the same answer.
bool same_scpi_answer(std::string_view expected, std::string_view got);
/// not_verified if `answer` differs from `value` by more than the profile allows; garbled if it has another
/// number of fields.
Result<void> check_readback(const Setting& setting, double value, std::string_view answer);
/// The names of what tripped, joined by commas; empty if nothing did.
Result<std::string> read_fault_report(const FaultReport& report, std::string_view answer);
/// Bench seconds per second in "sim-SCALE"; absent for anything else.
std::optional<double> simulated_scale(std::string_view firmware);

}  // namespace leadwright
