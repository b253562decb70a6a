// SPDX-License-Identifier: Apache-2.0
// Real time on one io_context, and bench time that runs faster beside it (the demo).
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <functional>
#include <memory>

#include "daemon/clock/clock.h"

namespace leadwright {

/// Loop over an io_context that one thread runs.
class AsioLoop final : public Loop {
 public:
  explicit AsioLoop(boost::asio::io_context& context) : context_(context) {}
  void post(std::function<void()> work) override;
  boost::asio::io_context& context() { return context_; }

 private:
  void wake() override;
  boost::asio::io_context& context_;
};

/// Clock whose timers are driven by a system timer; the parent of the real and the scaled clock.
class AsioClock : public Clock {
 public:
  /// The system timer stands still while the machine sleeps: the clock is looked at again after this time of
  /// the machine, whatever is due.
  static constexpr Second look_again{0.25};

  explicit AsioClock(AsioLoop& loop);

 protected:
  ~AsioClock() override = default;

 private:
  void earliest_changed() override;
  void expired();
  /// How long the machine has to wait until `at` of this clock, rounded up.
  virtual Second machine_wait(Instant at) const = 0;
  boost::asio::steady_timer timer_;
  Instant armed_for_ = Instant::never();  ///< for what the system timer was set
  std::shared_ptr<AsioClock*> self_;
};

/// Nanoseconds since the machine started, its sleep counted (CLOCK_BOOTTIME): after a suspension every
/// reading is as old as it really is.
std::int64_t since_boot_ns();

/// The time since the machine started and the system's UTC.
class RealClock final : public AsioClock {
 public:
  /// `since_boot` is since_boot_ns, or what a test puts in its place.
  explicit RealClock(AsioLoop& loop, std::function<std::int64_t()> since_boot = since_boot_ns);
  Instant now() const override;
  Utc utc() const override;

 private:
  Second machine_wait(Instant at) const override;
  std::function<std::int64_t()> since_boot_;
};

/// Where bench time starts and how fast it runs. Shared with the simulated instruments through a file.
struct BenchTime {
  double scale = 1.0;
  std::int64_t machine_zero_ns = 0;  ///< since_boot_ns() at the zero of bench time
  Utc utc_zero;                      ///< what bench UTC says at that moment
};

/// Bench time `scale` times as fast as the machine's.
class ScaledClock final : public AsioClock {
 public:
  ScaledClock(AsioLoop& loop, const Clock& machine, BenchTime time)
      : AsioClock(loop), machine_(machine), time_(time) {}
  Instant now() const override;
  Utc utc() const override;
  double scale() const override { return time_.scale; }

 private:
  Second machine_wait(Instant at) const override;
  const Clock& machine_;
  BenchTime time_;
};

}  // namespace leadwright
