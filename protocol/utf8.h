// SPDX-License-Identifier: Apache-2.0
// Text from outside that goes into logs, the audit, JSON and metrics. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

namespace leadwright {

/// True for well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates, at most U+10FFFF) without control
/// characters (C0, DEL, C1).
bool is_clean_text(std::string_view text);

/// The same text, with U+FFFD for each byte that is no part of a well-formed character. Control characters
/// stay.
std::string well_formed(std::string_view text);

/// Without the blanks at its two ends.
std::string_view trimmed(std::string_view text, std::string_view blanks = " \t\r\n");

}  // namespace leadwright
