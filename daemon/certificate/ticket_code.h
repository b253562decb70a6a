// SPDX-License-Identifier: Apache-2.0
// A ticket's number as a Code 128, for the receipt that the page prints. Pure; any thread.
#pragma once

#include <string>

#include "protocol/result.h"

namespace leadwright {

/// An SVG of dark bars on white with their quiet zones, `text` as its title. Fails with bad_input for a text
/// that the code can't hold.
Result<std::string> ticket_code_svg(const std::string& text);

}  // namespace leadwright
