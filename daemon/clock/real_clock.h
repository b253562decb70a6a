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
  explicit AsioClock(AsioLoop& loop);

 protected:
  ~AsioClock() override = default;

 private:
  void earliest_changed() override;
  void expired();
  /// Machine time at which `at` of this clock comes.
  virtual boost::asio::steady_timer::time_point machine_time(Instant at) const = 0;
  boost::asio::steady_timer timer_;
  Instant armed_for_ = Instant::never();  ///< when the system timer is due
  std::shared_ptr<AsioClock*> self_;
};

/// CLOCK_MONOTONIC and the system's UTC.
class RealClock final : public AsioClock {
 public:
  using AsioClock::AsioClock;
  Instant now() const override;
  Utc utc() const override;

 private:
  boost::asio::steady_timer::time_point machine_time(Instant at) const override;
};

/// Where bench time starts and how fast it runs. Shared with the simulated instruments through a file.
struct BenchTime {
  double scale = 1.0;
  std::int64_t machine_zero_ns = 0;  ///< CLOCK_MONOTONIC at the zero of bench time
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
  boost::asio::steady_timer::time_point machine_time(Instant at) const override;
  const Clock& machine_;
  BenchTime time_;
};

}  // namespace leadwright
