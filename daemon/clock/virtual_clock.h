// SPDX-License-Identifier: Apache-2.0
// Virtual time: jumps to the next event. One thread, its own loop, the same order for the same seed.
#pragma once

#include <deque>
#include <functional>

#include "daemon/clock/clock.h"

namespace leadwright {

class VirtualLoop final : public Loop {
 public:
  void post(std::function<void()> work) override { posted_.push_back(std::move(work)); }
  /// Runs posted work and ready coroutines until there is none left.
  void settle();

 private:
  void wake() override {}
  std::deque<std::function<void()>> posted_;
};

class VirtualClock final : public Clock {
 public:
  /// Bench time starts at `utc_zero`: 2026-01-01T00:00:00Z unless a test needs another day.
  explicit VirtualClock(Utc utc_zero = Utc(1'767'225'600'000'000'000)) : Clock(loop_), utc_zero_(utc_zero) {}

  Instant now() const override { return now_; }
  Utc utc() const override { return Utc(utc_zero_.ns() + now_.ns()); }
  /// Somebody, or the network, sets the date; `by` may be negative.
  void step_utc(Second by) { utc_zero_ = utc_zero_ + by; }

  /// Runs until `done` holds, nothing is left to happen, or `limit` is reached. True if `done` holds.
  bool run_until(const std::function<bool()>& done, Instant limit = Instant::never());
  /// Runs everything due up to now + `time`, and leaves the clock exactly there.
  void run_for(Second time);
  /// The machine sleeps, or the process stands still: everything due meanwhile fires in its order when it
  /// wakes, and only then does a coroutine go on.
  void stand_still(Second time);
  /// As stand_still, in the midst of what runs now: it goes on first, and what was due meanwhile fires after
  /// it, late.
  void fall_behind(Second time) { now_ = now_ + time; }

 private:
  VirtualLoop loop_;
  Instant now_;
  Utc utc_zero_;
};

}  // namespace leadwright
