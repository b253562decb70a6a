// SPDX-License-Identifier: Apache-2.0
// Names the exact text of a procedure or policy, so that a grade can say what it was made with; and of an
// answer, so that a reader can tell whether it has changed.
#pragma once

#include <string>
#include <string_view>

namespace leadwright {

/// BLAKE2b-256 of the bytes as 64 hex digits. Can't fail.
std::string content_hash(std::string_view bytes);

/// A strong entity tag (RFC 9110, section 8.8.3) of an answer's body: half of its hash, in quotes.
std::string content_tag(std::string_view bytes);

}  // namespace leadwright
