// SPDX-License-Identifier: Apache-2.0
#include "drivers/latency_histogram.h"

#include <algorithm>
#include <bit>
#include <cmath>

namespace leadwright {

void LatencyHistogram::add(Instant began, Instant ended) {
  const std::int64_t ns = std::max<std::int64_t>(ended.ns() - began.ns(), 0);
  const std::int64_t begun_units = ns > 0 ? (ns - 1) / first_upper_ns : 0;
  const auto bucket = static_cast<std::size_t>(std::bit_width(static_cast<std::uint64_t>(begun_units)));
  ++buckets_[std::min(bucket, bounds)];
  ++count_;
  sum_ns_ += ns;
  worst_ns_ = std::max(worst_ns_, ns);
}

std::optional<LatencyHistogram::Percentile> LatencyHistogram::percentile(double share) const {
  if (count_ == 0) return std::nullopt;
  const double wanted = std::max(1.0, std::ceil(share * static_cast<double>(count_)));
  std::uint64_t before = 0;
  std::size_t bucket = 0;
  while (bucket < bounds && static_cast<double>(before + buckets_[bucket]) < wanted) {
    before += buckets_[bucket++];
  }
  const Second from = bucket == 0 ? Second(0.0) : upper(bucket - 1);
  const Second to = bucket == bounds ? worst() : std::min(upper(bucket), worst());
  const double part = (wanted - static_cast<double>(before)) /
                      static_cast<double>(std::max<std::uint64_t>(buckets_[bucket], 1));
  return Percentile{from + (to - from) * std::min(part, 1.0), from, to};
}

}  // namespace leadwright
