// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/rank.h"

#include <array>

namespace leadwright {

namespace {
constexpr std::array<std::string_view, 4> words{"anybody", "viewer", "operator", "supervisor"};
}  // namespace

std::string_view word(Rank rank) {
  return words.at(static_cast<std::size_t>(rank));
}

std::optional<Rank> rank_of(std::string_view word) {
  for (std::size_t i = 1; i < words.size(); ++i) {
    if (words.at(i) == word) return static_cast<Rank>(i);
  }
  return std::nullopt;
}

}  // namespace leadwright
