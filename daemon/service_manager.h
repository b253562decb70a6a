// SPDX-License-Identifier: Apache-2.0
// What systemd is told: that the daemon is ready, what it does, that it lives. The watchdog is fed by control
// alone, and only while every place that is energised has just proved that its protection ran: a timer that
// pings while control hangs would be worse than none. Thread: control. Read next: place/run.h (overdue).
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "daemon/clock/clock.h"
#include "protocol/result.h"

namespace leadwright {

/// Says "READY=1", "WATCHDOG=1", ... to whoever started this process. Says nothing if that was not systemd.
/// Fails with io where the socket is named but does not take it.
Result<void> tell_service_manager(const std::string& state);
/// How long systemd waits between two pings before it ends the daemon; nothing if it does not watch.
std::optional<Second> watchdog_interval();

class Watchdog {
 public:
  struct Orders {
    std::optional<Second> interval;  ///< pings go out twice in it; nothing: never
    /// Which place's protection is overdue, one sentence; nothing if each ran. Asked before each ping.
    std::function<std::optional<std::string>()> overdue;
    /// What the bench does now, one line, for "STATUS=".
    std::function<std::string()> status;
    std::function<void(const std::string& state)> tell;
  };

  Watchdog(Clock& machine, Orders orders);
  Watchdog(const Watchdog&) = delete;
  Watchdog& operator=(const Watchdog&) = delete;

  /// Says that the daemon is ready, and goes on from there.
  void begin();
  /// Says that it ends, and no more after that.
  void end();

 private:
  void ping();

  Clock& machine_;
  Orders orders_;
  Timer timer_;
  bool is_overdue_ = false;
};

}  // namespace leadwright
