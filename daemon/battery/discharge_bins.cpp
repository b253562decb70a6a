// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/discharge_bins.h"

namespace leadwright {

void DischargeBins::add(Second at, Volt cell) {
  if (at < settled_after) return;
  last_ = at;
  if (used_ == 0 || at - begun_ >= width_) {
    if (used_ == bins_max) halve();
    begun_ = at;
    bins_[used_++] = {};
  }
  Bin& bin = bins_[used_ - 1];
  ++bin.count;
  const auto count = static_cast<double>(bin.count);
  bin.at += (at - bin.at) / count;
  bin.cell += (cell - bin.cell) / count;
}

void DischargeBins::halve() {
  used_ = bins_max / 2;
  for (std::size_t i = 0; i < used_; ++i) {
    const Bin& first = bins_[2 * i];
    const Bin& second = bins_[2 * i + 1];
    const int count = first.count + second.count;
    const double share = static_cast<double>(second.count) / static_cast<double>(count);
    bins_[i] = {first.at + (second.at - first.at) * share, first.cell + (second.cell - first.cell) * share,
                count};
  }
  width_ = width_ * 2.0;
}

}  // namespace leadwright
