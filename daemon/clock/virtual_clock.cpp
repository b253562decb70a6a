// SPDX-License-Identifier: Apache-2.0
#include "daemon/clock/virtual_clock.h"

namespace leadwright {

void VirtualLoop::settle() {
  drain();
  while (!posted_.empty()) {
    const std::function<void()> work = std::move(posted_.front());
    posted_.pop_front();
    work();
    drain();
  }
}

bool VirtualClock::run_until(const std::function<bool()>& done, Instant limit) {
  loop_.settle();
  while (!done()) {
    if (!has_timers() || earliest() > limit) return false;
    if (earliest() > now_) now_ = earliest();
    fire_earliest();
    loop_.settle();
  }
  return true;
}

void VirtualClock::run_for(Second time) {
  const Instant limit = now_ + time;
  run_until([] { return false; }, limit);
  now_ = limit;
}

void VirtualClock::stand_still(Second time) {
  now_ = now_ + time;
  while (has_timers() && earliest() <= now_) fire_earliest();
  loop_.settle();
}

}  // namespace leadwright
