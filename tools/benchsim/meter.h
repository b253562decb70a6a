// SPDX-License-Identifier: Apache-2.0
// A measuring chain with errors that stay within what a profile declares.
#pragma once

#include "tools/benchsim/sim_random.h"

namespace leadwright {

/// Accuracy as a profile declares it: |error| <= relative x |value| + absolute, shown in steps of
/// `resolution`.
struct SimAccuracy {
  double relative = 0.0;
  double absolute = 0.0;
  double resolution = 0.001;
};

/// One measuring chain: a fixed gain and offset drawn once, and noise, together always within the accuracy.
class Meter {
 public:
  /// Without error but for the resolution.
  explicit Meter(double resolution) : resolution_(resolution) {}
  Meter(SimAccuracy accuracy, SimRandom& random);
  /// `value` with gain and offset, not rounded.
  double biased(double value) const { return value * (1.0 + gain_) + offset_; }
  double shown(double value, SimRandom& random) const;

 private:
  double resolution_;
  double gain_ = 0.0;
  double offset_ = 0.0;
  double noise_ = 0.0;
};

}  // namespace leadwright
