// SPDX-License-Identifier: Apache-2.0
#include "daemon/clock/real_clock.h"

#include <time.h>  // NOLINT(modernize-deprecated-headers): clock_gettime is POSIX

#include <algorithm>
#include <boost/asio/post.hpp>
#include <chrono>
#include <cmath>
#include <utility>

namespace leadwright {

namespace asio = boost::asio;

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
  const Second wait = std::min(machine_wait(earliest()), look_again);
  timer_.expires_after(std::chrono::nanoseconds(static_cast<std::int64_t>(std::ceil(wait.si() * 1e9))));
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

std::int64_t since_boot_ns() {
  timespec since{};
  clock_gettime(CLOCK_BOOTTIME, &since);
  return std::int64_t{since.tv_sec} * 1'000'000'000 + since.tv_nsec;
}

RealClock::RealClock(AsioLoop& loop, std::function<std::int64_t()> since_boot)
    : AsioClock(loop), since_boot_(std::move(since_boot)) {}

Instant RealClock::now() const {
  return Instant(since_boot_());
}

Utc RealClock::utc() const {
  const auto since = std::chrono::system_clock::now().time_since_epoch();
  return Utc(std::chrono::duration_cast<std::chrono::nanoseconds>(since).count());
}

Second RealClock::machine_wait(Instant at) const {
  return at - now();
}

Instant ScaledClock::now() const {
  const auto elapsed_ns = static_cast<double>(machine_.now().ns() - time_.machine_zero_ns);
  return Instant(static_cast<std::int64_t>(elapsed_ns * time_.scale));
}

Utc ScaledClock::utc() const {
  return Utc(time_.utc_zero.ns() + now().ns());
}

Second ScaledClock::machine_wait(Instant at) const {
  return (at - now()) / time_.scale;
}

}  // namespace leadwright
