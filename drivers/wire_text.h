// SPDX-License-Identifier: Apache-2.0
// Bytes of a wire as text for people. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

namespace leadwright {

/// Printable characters as they are; a line feed as "\n", a carriage return as "\r", a tab as "\t", a
/// backslash as "\\", and all else as "\x0d".
std::string escaped(std::string_view bytes);

/// "01 03 00 6b".
std::string hex(std::string_view bytes);

/// True for a frame of a binary protocol: more than a quarter of it would need an escape. A line of text with
/// a damaged byte is still text.
bool is_binary(std::string_view bytes);

}  // namespace leadwright
