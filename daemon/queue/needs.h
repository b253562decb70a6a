// SPDX-License-Identifier: Apache-2.0
// What a ticket needs from a person, as a code that faces translate and as an English sentence. Pure.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "daemon/place/place.h"
#include "daemon/queue/planner.h"

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

/// Of places, the kind to do it at: where none is for charging, a bay does that as well.
PlaceKind kind_to_do(const Work& next, const std::vector<std::unique_ptr<Place>>& places);

}  // namespace leadwright
