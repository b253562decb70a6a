// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/watch.h"

#include <algorithm>

namespace leadwright {

void FollowWatch::set(Ampere amps, Instant at, const Follow& follow, bool exact) {
  amps_ = amps;
  settled_at_ = at + follow.within;
  tolerance_ = std::max(follow.absolute, amps * follow.relative);
  exact_ = exact;
  off_count_ = 0;
}

bool FollowWatch::follows(Instant at, std::optional<Ampere> measured) const {
  if (at < settled_at_ || !measured) return true;
  const Ampere above = *measured - amps_;
  return exact_ ? abs(above) <= tolerance_ : above <= tolerance_;
}

std::optional<Sentence> FollowWatch::check(Instant at, std::optional<Ampere> measured) {
  if (at < settled_at_ || !measured) return std::nullopt;
  off_count_ = follows(at, measured) ? 0 : off_count_ + 1;
  if (off_count_ < samples_off_max) return std::nullopt;
  return say("current_strays", "the current is {amps} where {set} is set",
             {said_amount("amps", measured->si(), 3, "A"), said_amount("set", amps_.si(), 3, "A")});
}

bool FrozenWatch::frozen(std::optional<Volt> volts, std::optional<Ampere> amps) {
  if (equal_max_ == 0) return false;
  equal_count_ = volts == volts_ && amps == amps_ ? equal_count_ + 1 : 0;
  volts_ = volts;
  amps_ = amps;
  return equal_count_ >= equal_max_;
}

}  // namespace leadwright
