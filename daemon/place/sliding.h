// SPDX-License-Identifier: Apache-2.0
// The lowest value of the last so many seconds, with what else was read then. Values only.
#pragma once

#include <deque>

#include "daemon/quantities/quantity.h"

namespace leadwright {

/// `Value` is compared, `With` is kept beside it. Give it -x for the highest.
template <class Value, class With = Value>
class SlidingLowest {
 public:
  explicit SlidingLowest(Second window) : window_(window) {}

  struct Entry {
    Second at;
    Value value;
    With with;
  };

  /// Times must not go back.
  void add(Second at, Value value, With with) {
    while (!kept_.empty() && kept_.back().value >= value) kept_.pop_back();
    kept_.push_back({at, value, with});
    while (at - kept_.front().at > window_) kept_.pop_front();
  }
  /// Only after add().
  const Entry& lowest() const { return kept_.front(); }
  void clear() { kept_.clear(); }

 private:
  Second window_;
  std::deque<Entry> kept_;  ///< values rise from front to back: whoever was higher before is of no use
};

}  // namespace leadwright
