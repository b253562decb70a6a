// SPDX-License-Identifier: Apache-2.0
// What a person or program may do at the bench, each rank with all that the lower ones may. Pure; any thread.
#pragma once

#include <optional>
#include <string_view>

namespace leadwright {

enum class Rank {
  anybody,     ///< without a token
  viewer,      ///< reads, and switches off: off needs no permission
  operator_,   ///< the daily work
  supervisor,  ///< what a bench hand should not do alone
};

/// "viewer"
std::string_view word(Rank rank);
/// Of a word for viewer, operator or supervisor; nothing for any other.
std::optional<Rank> rank_of(std::string_view word);

}  // namespace leadwright
