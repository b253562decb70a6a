// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "protocol/toml_reader.h"

namespace leadwright {

namespace {

/// Letters to insert, delete, change or swap with their neighbour to turn one word into the other.
std::size_t distance(std::string_view from, std::string_view to) {
  std::vector<std::size_t> two_back(to.size() + 1);
  std::vector<std::size_t> one_back(to.size() + 1);
  std::vector<std::size_t> row(to.size() + 1);
  for (std::size_t j = 0; j < row.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= from.size(); ++i) {
    two_back.swap(one_back);
    one_back.swap(row);
    row[0] = i;
    for (std::size_t j = 1; j < row.size(); ++j) {
      const std::size_t changed = one_back[j - 1] + (from[i - 1] == to[j - 1] ? 0 : 1);
      row[j] = std::min({one_back[j] + 1, row[j - 1] + 1, changed});
      const bool swapped = i > 1 && j > 1 && from[i - 1] == to[j - 2] && from[i - 2] == to[j - 1];
      if (swapped) row[j] = std::min(row[j], two_back[j - 2] + 1);
    }
  }
  return row.back();
}

}  // namespace

std::string near_match(std::string_view word, const std::vector<std::string>& candidates) {
  std::string best;
  std::size_t best_distance = std::max<std::size_t>(1, word.size() / 3) + 1;
  for (const std::string& candidate : candidates) {
    const std::size_t away = distance(word, candidate);
    if (away >= best_distance) continue;
    best_distance = away;
    best = candidate;
  }
  return best;
}

}  // namespace leadwright
