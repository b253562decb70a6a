// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/grade_override.h"

#include <array>

namespace leadwright {

namespace {
constexpr std::array all{OverrideState::proposed, OverrideState::confirmed, OverrideState::withdrawn};
}  // namespace

const char* word(OverrideState state) {
  switch (state) {
    case OverrideState::proposed:
      return "proposed";
    case OverrideState::confirmed:
      return "confirmed";
    case OverrideState::withdrawn:
      return "withdrawn";
  }
  return "";
}

std::optional<OverrideState> override_state_of(std::string_view stored) {
  for (const OverrideState state : all) {
    if (stored == word(state)) return state;
  }
  return std::nullopt;
}

}  // namespace leadwright
