// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace leadwright {

/// A percentile by nearest rank: the smallest value with at least this share of all at or below it. `sorted`
/// is in rising order and not empty; `share` is 0 to 1.
template <class T>
T nearest_rank(const std::vector<T>& sorted, double share) {
  const double rank = std::ceil(share * static_cast<double>(sorted.size()));
  return sorted[static_cast<std::size_t>(std::max(rank, 1.0)) - 1];
}

/// The middle one, of an even number the upper of the two. `values` is not empty.
template <class T>
T middle_of(std::vector<T> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace leadwright
