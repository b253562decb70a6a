// SPDX-License-Identifier: Apache-2.0
// A discharge in a fixed number of means: each sample is added once and nothing grows. When the bins are full
// each two become one, and a bin is twice as long. Pure; any thread.
#pragma once

#include <array>
#include <cstddef>
#include <span>

#include "daemon/quantities/quantity.h"

namespace leadwright {

class DischargeBins {
 public:
  static constexpr std::size_t bins_max = 64;
  /// Until then the ramp and the plates' double layer show, and say nothing of the charge left (P).
  static constexpr Second settled_after = minutes(1.0);

  struct Bin {
    Second at;  ///< mean time since full current
    Volt cell;  ///< mean volts a cell
    int count = 0;
  };

  /// `at` since full current, rising. What is not settled is left out.
  void add(Second at, Volt cell);
  /// In order of time, each with at least one sample.
  std::span<const Bin> bins() const { return std::span(bins_).first(used_); }
  Second last() const { return last_; }

 private:
  void halve();

  std::array<Bin, bins_max> bins_;
  std::size_t used_ = 0;
  Second width_{15.0};
  Second begun_;  ///< of the last bin
  Second last_;
};

}  // namespace leadwright
