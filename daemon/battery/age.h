// SPDX-License-Identifier: Apache-2.0
// Dates as labels and receipts state them, and months counted from them: the one way in which anybody here
// counts the age of a battery. Pure; any thread.
#pragma once

#include <optional>
#include <string_view>

#include "daemon/clock/instant.h"

namespace leadwright {

/// "2024-03-15" is itself; "2024-03" its last day, which counts in the owner's favour (common practice, no
/// source). Missing for anything else.
std::optional<Utc> date_of(std::string_view written);

/// Whole days from that date to `to`; negative if it lies after. Missing if it is no date.
std::optional<int> days_since(std::string_view written, Utc to);

/// Whole calendar months from that date to `to`; none if it states no day and lies in the month of `to`,
/// negative if it lies after. Missing if it is no date.
std::optional<int> months_since(std::string_view written, Utc to);

}  // namespace leadwright
