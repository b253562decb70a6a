// SPDX-License-Identifier: Apache-2.0
// The time seam. For: everything on the control path that needs now, a wait, a deadline or a later turn.
// Owned by main (real, scaled) or by a test's world (virtual). Thread: the control thread only, but for
// Loop::post. Never: asks the system for the time anywhere else. Read next: signal waits below, then
// virtual_clock.h, real_clock.h, scaled_clock.h.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

#include "daemon/clock/instant.h"
#include "daemon/clock/task.h"

namespace leadwright {

class Clock;
class Loop;
class Signal;

namespace detail {

/// Something that a clock fires once at an instant. Cancelled by destruction.
class TimerNode {
 public:
  TimerNode() = default;
  TimerNode(const TimerNode&) = delete;
  TimerNode& operator=(const TimerNode&) = delete;
  virtual ~TimerNode();

 protected:
  virtual void fire() = 0;
  Clock* clock_ = nullptr;

 private:
  friend class leadwright::Clock;
  Instant at_;
  std::uint64_t sequence_ = 0;
  std::size_t heap_index_ = 0;
  bool armed_ = false;
};

struct ListHook {
  ListHook* previous = this;
  ListHook* next = this;
  void unlink() {
    previous->next = next;
    next->previous = previous;
    previous = next = this;
  }
  void push_back(ListHook& node) {
    node.previous = previous;
    node.next = this;
    previous->next = &node;
    previous = &node;
  }
  bool empty() const { return next == this; }
};

/// One suspended coroutine: waits for a signal, an instant, or whichever comes first. Resumed by the loop in
/// the order in which waits ended, so that the same seed gives the same world.
class Waiter final : public TimerNode, public ListHook {
 public:
  Waiter(Clock& clock, Signal* signal, Instant deadline);
  ~Waiter() override { unlink(); }
  bool await_ready() const noexcept { return false; }
  void await_suspend(std::coroutine_handle<> self);
  /// True if the signal came, false if the deadline did.
  bool await_resume() const noexcept { return signalled_; }

 private:
  friend class leadwright::Loop;
  friend class leadwright::Signal;
  void fire() override;
  void end(bool signalled);
  Clock& owner_;
  Signal* signal_;
  Instant deadline_;
  std::coroutine_handle<> self_;
  bool signalled_ = false;
};

}  // namespace detail

/// Where coroutines get their turn. One per thread that runs coroutines.
class Loop {
 public:
  Loop() = default;
  Loop(const Loop&) = delete;
  Loop& operator=(const Loop&) = delete;
  virtual ~Loop() = default;

  /// Runs `work` on the loop's thread, later. From any thread where the loop is a real one.
  virtual void post(std::function<void()> work) = 0;
  /// Called with an exception that left a root task: our bug. Set once at start.
  std::function<void(std::exception_ptr)> on_bug;

  /// Resumes every coroutine that is ready, and those that become ready meanwhile.
  void drain();

 private:
  friend class detail::Waiter;
  virtual void wake() = 0;
  detail::ListHook ready_;
};

/// A clock: bench time, or machine time where the two differ (scaled clock).
class Clock {
 public:
  explicit Clock(Loop& loop) : loop_(loop) {}
  Clock(const Clock&) = delete;
  Clock& operator=(const Clock&) = delete;
  virtual ~Clock() = default;

  virtual Instant now() const = 0;
  virtual Utc utc() const = 0;
  /// Bench seconds per machine second: 1 but for a scaled clock.
  virtual double scale() const { return 1.0; }

  /// co_await clock.sleep_until(t): resumes at or after `t`, never before. The result is always false.
  detail::Waiter sleep_until(Instant at) { return {*this, nullptr, at}; }
  detail::Waiter sleep_for(Second time) { return sleep_until(now() + time); }

  Loop& loop() const { return loop_; }

 protected:
  bool has_timers() const { return !heap_.empty(); }
  Instant earliest() const { return heap_.front()->at_; }
  /// Takes the earliest timer out (ties in order of arming) and fires it.
  void fire_earliest();

 private:
  friend class detail::TimerNode;
  friend class detail::Waiter;
  friend class Timer;
  friend class Signal;
  void arm(detail::TimerNode& node, Instant at);
  void disarm(detail::TimerNode& node);
  void sift_up(std::size_t index);
  void sift_down(std::size_t index);
  static bool before(const detail::TimerNode& a, const detail::TimerNode& b);
  void place(detail::TimerNode* node, std::size_t index);
  /// The earliest timer changed: a real clock arms its system timer anew.
  virtual void earliest_changed() {}

  Loop& loop_;
  std::vector<detail::TimerNode*> heap_;
  std::uint64_t sequence_ = 0;
};

/// A callback at an instant; cancelled by destruction or cancel().
class Timer final : public detail::TimerNode {
 public:
  explicit Timer(Clock& clock) { clock_ = &clock; }
  void set(Instant at, std::function<void()> call);
  void cancel();

 private:
  void fire() override;
  std::function<void()> call_;
};

/// Wakes those who wait. Has no memory: check your condition, then wait, in a loop.
class Signal {
 public:
  explicit Signal(Clock& clock) : clock_(clock) {}
  Signal(const Signal&) = delete;
  Signal& operator=(const Signal&) = delete;
  ~Signal() { notify(); }

  /// co_await signal.wait_until(t): true if notified, false if `t` came first.
  detail::Waiter wait_until(Instant deadline) { return {clock_, this, deadline}; }
  detail::Waiter wait() { return wait_until(Instant::never()); }
  void notify();

 private:
  friend class detail::Waiter;
  Clock& clock_;
  detail::ListHook waiting_;
};

/// The two times of a bench: what belongs to the battery, and what belongs to the machine (deadlines, gaps,
/// back-off). One and the same clock unless bench time is scaled.
struct Clocks {
  Clock& bench;
  Clock& machine;
};

/// A root task. Starts at once; destroying the job destroys the coroutine wherever it stands.
class Job {
 public:
  Job() = default;
  Job(Loop& loop, Task<void> task);
  Job(Job&&) noexcept = default;
  Job& operator=(Job&&) noexcept = default;
  bool done() const { return !root_.valid() || root_.done(); }

 private:
  static Task<void> guard(Loop* loop, Task<void> task);
  Task<void> root_;
};

}  // namespace leadwright
