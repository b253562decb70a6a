// SPDX-License-Identifier: Apache-2.0
// POSIX extended regular expressions, for the identities in profiles. Stands for <regex.h>: std::regex
// recurses once for each character and does not build without warnings under GCC 12's sanitizers.
#pragma once

#include <string>

namespace leadwright {

bool is_pattern(const std::string& pattern);
/// True if `pattern` matches the whole of `text`; false too for what is no pattern.
bool matches_whole(const std::string& pattern, const std::string& text);

}  // namespace leadwright
