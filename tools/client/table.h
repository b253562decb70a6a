// SPDX-License-Identifier: Apache-2.0
// Aligned plain text. Pure; any thread.
#pragma once

#include <string>
#include <vector>

namespace leadwright {

/// Rows of cells as columns that are two blanks apart; the first row is the heading. The last column is never
/// padded. A character counts as one column wide; control characters from outside become "?".
std::string table(const std::vector<std::vector<std::string>>& rows);

/// With so many decimals, whatever the locale; no minus before zero.
std::string decimal(double value, int digits);

/// "1 h 24 min", "12 min", "40 s"; empty for a negative time.
std::string short_duration(double seconds);

}  // namespace leadwright
