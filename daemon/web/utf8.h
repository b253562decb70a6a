// SPDX-License-Identifier: Apache-2.0
// Text from outside that goes into logs, the audit and JSON. Pure; any thread.
#pragma once

#include <string_view>

namespace leadwright {

/// True for well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates, at most U+10FFFF) without control
/// characters (C0, DEL, C1).
bool is_clean_text(std::string_view text);

}  // namespace leadwright
