// SPDX-License-Identifier: Apache-2.0
#include "daemon/clock/real_clock.h"

#include <boost/asio/post.hpp>
#include <chrono>
#include <cmath>

namespace leadwright {

namespace asio = boost::asio;
using TimePoint = asio::steady_timer::time_point;

void AsioLoop::post(std::function<void()> work) {
  asio::post(context_, [this, work = std::move(work)] {
    work();
    drain();
  });
}

void AsioLoop::wake() {
  asio::post(context_, [this] { drain(); });
}

AsioClock::AsioClock(AsioLoop& loop)
    : Clock(loop), timer_(loop.context()), self_(std::make_shared<AsioClock*>(this)) {}

void AsioClock::earliest_changed() {
  // Most deadlines never come. A system timer that is due before is left to fire for nothing: one look in
  // vain costs less than a system call for the deadline of each exchange.
  if (armed_for_ <= earliest()) return;
  armed_for_ = earliest();
  timer_.expires_at(machine_time(earliest()));
  timer_.async_wait([self = std::weak_ptr<AsioClock*>(self_)](const boost::system::error_code& error) {
    if (error) return;
    if (const auto clock = self.lock()) (*clock)->expired();
  });
}

void AsioClock::expired() {
  armed_for_ = Instant::never();
  while (has_timers() && earliest() <= now()) fire_earliest();
  loop().drain();
  if (has_timers()) earliest_changed();
}

Instant RealClock::now() const {
  return Instant(std::chrono::steady_clock::now().time_since_epoch().count());
}

Utc RealClock::utc() const {
  const auto since = std::chrono::system_clock::now().time_since_epoch();
  return Utc(std::chrono::duration_cast<std::chrono::nanoseconds>(since).count());
}

TimePoint RealClock::machine_time(Instant at) const {
  return TimePoint(std::chrono::nanoseconds(at.ns()));
}

Instant ScaledClock::now() const {
  const auto elapsed_ns = static_cast<double>(machine_.now().ns() - time_.machine_zero_ns);
  return Instant(static_cast<std::int64_t>(elapsed_ns * time_.scale));
}

Utc ScaledClock::utc() const {
  return Utc(time_.utc_zero.ns() + now().ns());
}

TimePoint ScaledClock::machine_time(Instant at) const {
  const double elapsed_ns = std::ceil(static_cast<double>(at.ns()) / time_.scale);
  return TimePoint(
      std::chrono::nanoseconds(time_.machine_zero_ns + static_cast<std::int64_t>(elapsed_ns) + 1));
}

}  // namespace leadwright
