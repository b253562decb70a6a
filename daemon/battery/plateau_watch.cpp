// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/plateau_watch.h"

namespace leadwright {

namespace {

// With less before the lag the curve is not yet laid upon anything.
constexpr std::size_t bins_min = 8;

}  // namespace

void PlateauWatch::add(Second at, Volt cell) {
  if (open_.count == 0) begun_ = at;
  ++open_.count;
  const auto count = static_cast<double>(open_.count);
  open_.at += (at - open_.at) / count;
  open_.cell += (cell - open_.cell) / count;
  if (at - begun_ < mean_of) return;
  Mean& oldest = recent_[next_];
  if (count_ == held_back) {
    before_.add(oldest.at, oldest.cell);
  } else {
    ++count_;
  }
  oldest = open_;
  next_ = (next_ + 1) % held_back;
  open_ = {};
}

std::optional<Volt> PlateauWatch::fall(const DesignCurve& curve, const FitPrior& prior,
                                       Volt cell_cutoff) const {
  if (before_.bins().size() < bins_min) return {};
  const CurveFit fit = fit_curve(curve, before_, prior, cell_cutoff);
  Volt sum;
  for (std::size_t back = 1; back <= last_minute; ++back) {
    const Mean& mean = recent_[(next_ + held_back - back) % held_back];
    sum += expected_at(curve, fit, mean.at) - mean.cell;
  }
  return sum / static_cast<double>(last_minute);
}

}  // namespace leadwright
