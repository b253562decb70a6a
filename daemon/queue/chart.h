// SPDX-License-Identifier: Apache-2.0
// A trace as points for the page, kept between two snapshots: a point is written once, however often it is
// shown. For: the bench's snapshot, which control builds between two samples of other places.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "daemon/battery/sample.h"
#include "daemon/battery/ticket.h"

namespace leadwright {

/// JSON for one number of a snapshot: fixed decimals, without a minus before zero; null if missing.
std::string chart_number(std::optional<double> number, int decimals);

class Chart {
 public:
  static constexpr std::size_t points_max = 240;  ///< even, so that what is kept of it stays in step

  /// "[[seconds,volts,amps],...]": each n-th sample from the first, n a power of two, so that there are at
  /// most points_max. `run` tells one trace from the next; the trace of a run only grows.
  std::string json(RunId run, const Trace& trace);

 private:
  void add(const Sample& sample);
  void halve();

  std::optional<RunId> run_;
  std::size_t stride_ = 1;
  std::size_t next_ = 0;             ///< index of the sample that is due
  std::string points_;               ///< each with a comma behind it
  std::vector<std::size_t> starts_;  ///< of each point in `points_`
};

}  // namespace leadwright
