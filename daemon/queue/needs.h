// SPDX-License-Identifier: Apache-2.0
// What a ticket needs from a person, as a code that faces translate and as an English sentence. Pure values.
#pragma once

#include <string>

namespace leadwright {

enum class NeedsOf {
  move,                ///< to a place of the kind that its next work wants
  move_after_gas,      ///< the same, once the gas of its charge has gone
  stand,               ///< on a shelf until its next work may begin
  answer,              ///< its place asks something, or has tripped
  start,               ///< its next work, where it stands
  start_with_consent,  ///< the same, and the owner has to agree first
};
const char* word(NeedsOf of);

struct Needs {
  NeedsOf of;
  std::string text;
};

}  // namespace leadwright
