// SPDX-License-Identifier: Apache-2.0
// What a place does and what it needs of a person, in words. Thread: control.
#pragma once

#include <string>

#include "daemon/place/place.h"

namespace leadwright {

/// One sentence; that of its step while a run goes on.
std::string doing(const Place& place);
/// What a person must do; empty if nothing.
Sentence place_needs(const Place& place);
/// {"of":"trip","text","said","takes_photo"}, or null if nothing is asked.
std::string ask_json(const Place& place);

}  // namespace leadwright
