// SPDX-License-Identifier: Apache-2.0
// Is a person there? A place that is attended only is energised only while one has said so lately. Owned by
// the place. Thread: control. Machine time: a person does not live on bench time.
#pragma once

#include <functional>

#include "daemon/clock/clock.h"

namespace leadwright {

class Presence {
 public:
  /// An act of a person at the place counts this long (our own rule).
  static constexpr Second counts_for{30.0 * 60.0};
  /// The person is asked this long before it lapses.
  static constexpr Second asked_before{5.0 * 60.0};

  explicit Presence(Clock& machine) : machine_(machine), asking_(machine), lapsing_(machine) {}

  /// A person did something at the place.
  void confirm() {
    until_ = machine_.now() + counts_for;
    asking_.set(until_ - asked_before, [this] { on_asking(); });
    lapsing_.set(until_, [this] { on_lapsed(); });
  }
  bool is_there() const { return machine_.now() < until_; }

  /// Both must be set before the first confirm().
  std::function<void()> on_asking;
  std::function<void()> on_lapsed;

 private:
  Clock& machine_;
  Timer asking_;
  Timer lapsing_;
  Instant until_{INT64_MIN};
};

}  // namespace leadwright
