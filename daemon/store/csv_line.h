// SPDX-License-Identifier: Apache-2.0
// One line of comma-separated values (RFC 4180 without line breaks inside a field). Pure; any thread.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

/// The fields, without blanks around them and without their quotes; "" inside quotes is one quote. bad_input
/// for a quote that is not closed or stands amid a field, and for a line that semicolons separate.
Result<std::vector<std::string>> fields_of(std::string_view line);

}  // namespace leadwright
