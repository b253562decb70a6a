// SPDX-License-Identifier: Apache-2.0
// Pieces that the two readers of profile files share. Not for anyone outside drivers/profile_*.cpp.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "drivers/profile.h"
#include "protocol/toml_reader.h"

namespace leadwright {

/// A sample has at most this many fields.
constexpr std::size_t sample_fields_max = 8;

/// A message of the instrument's language: adds an error if it contains a line end. Empty if absent.
std::string message(const TomlTable& table, std::string_view key);
/// As above, and absence is an error.
std::string need_message(const TomlTable& table, std::string_view key);
void refuse_line_ends(const TomlTable& table, std::string_view key, std::string_view text);
/// A number of milliseconds, not negative.
Second milliseconds(const TomlTable& table, std::string_view key, double fallback_ms);
std::optional<ReadingOf> measurand_named(std::string_view name);
ReadingOf need_measurand(const TomlTable& table, std::string_view key);
/// The table [can].
void read_capabilities(const TomlTable& can, Profile& profile);

}  // namespace leadwright
