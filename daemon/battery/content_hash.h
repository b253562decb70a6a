// SPDX-License-Identifier: Apache-2.0
// Names the exact text of a procedure or policy, so that a grade can say what it was made with.
#pragma once

#include <string>
#include <string_view>

namespace leadwright {

/// BLAKE2b-256 of the bytes as 64 hex digits. Can't fail.
std::string content_hash(std::string_view bytes);

}  // namespace leadwright
