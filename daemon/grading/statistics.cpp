// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/statistics.h"

#include <algorithm>
#include <cmath>

namespace leadwright {

ShareInterval wilson_interval(int hits, int trials, double z) {
  if (trials <= 0) return {};
  const double n = trials;
  const double p = hits / n;
  const double z2 = z * z;
  const double middle = p + z2 / (2.0 * n);
  const double half = z * std::sqrt(p * (1.0 - p) / n + z2 / (4.0 * n * n));
  const double whole = 1.0 + z2 / n;
  return {std::max(0.0, (middle - half) / whole), std::min(1.0, (middle + half) / whole)};
}

WaldBounds wald_bounds(const AllowedErrors& errors) {
  return {std::log((1.0 - errors.beta) / errors.alpha), std::log(errors.beta / (1.0 - errors.alpha))};
}

WaldLines wald_lines(const TwoShares& shares, const AllowedErrors& errors) {
  const auto [better, worse] = shares;
  const double k = std::log(worse * (1.0 - better) / (better * (1.0 - worse)));
  const WaldBounds bounds = wald_bounds(errors);
  return {-bounds.accept / k, bounds.reject / k, std::log((1.0 - better) / (1.0 - worse)) / k};
}

double likelihood_ratio(const TwoShares& shares, int hits, int trials) {
  const double misses = trials - hits;
  return std::pow(shares.worse / shares.better, hits) *
         std::pow((1.0 - shares.worse) / (1.0 - shares.better), misses);
}

}  // namespace leadwright
