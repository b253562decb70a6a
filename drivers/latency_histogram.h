// SPDX-License-Identifier: Apache-2.0
// How long the exchanges of one instrument take, in buckets that never change. For: the supervision of links.
// Owned by the counters of a link. Thread: control. Never: allocates; an exchange costs it a few
// instructions.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>

#include "daemon/clock/instant.h"

namespace leadwright {

class LatencyHistogram {
 public:
  /// Buckets with an upper end: 0.1 ms, and twice as much in each further one, up to 3.2768 s. One more takes
  /// what is longer.
  static constexpr std::size_t bounds = 16;
  static constexpr Second upper(std::size_t bucket) {
    return Second(static_cast<double>(first_upper_ns << bucket) * 1e-9);
  }

  /// Machine time from before the question was sent until its whole answer was there.
  void add(Instant began, Instant ended);

  std::uint64_t count() const { return count_; }
  /// Those longer than upper(bucket - 1) and at most upper(bucket); `bucket` is at most `bounds`.
  std::uint64_t in_bucket(std::size_t bucket) const { return buckets_[bucket]; }
  Second sum() const { return Second(static_cast<double>(sum_ns_) * 1e-9); }
  Second worst() const { return Second(static_cast<double>(worst_ns_) * 1e-9); }

  /// The true percentile lies in (from, to]; the estimate supposes an even spread between them.
  struct Percentile {
    Second estimate;
    Second from;
    Second to;
  };
  /// `share` in (0, 1]: 0.5 is the median. Absent as long as nothing was counted.
  std::optional<Percentile> percentile(double share) const;

 private:
  static constexpr std::int64_t first_upper_ns = 100'000;
  std::array<std::uint64_t, bounds + 1> buckets_{};
  std::uint64_t count_ = 0;
  std::int64_t sum_ns_ = 0;
  std::int64_t worst_ns_ = 0;
};

}  // namespace leadwright
