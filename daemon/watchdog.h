// SPDX-License-Identifier: Apache-2.0
// Feeds the service manager's watchdog, from control alone and only while every place has proved that its
// protection runs: a loop that turns while a bay is not looked at is worth a restart, which switches off
// first. Owned by main. Thread: control. Read next: service_manager.h.
#pragma once

#include <functional>
#include <string>

#include "daemon/clock/clock.h"

namespace leadwright {

class Watchdog {
 public:
  /// Looks four times within `period` of machine time, so that one late turn does not end the daemon.
  /// `overdue` names the place whose protection has not run, or is empty; it outlives this.
  Watchdog(Clock& machine, Second period, std::function<std::string()> overdue);
  Watchdog(const Watchdog&) = delete;
  Watchdog& operator=(const Watchdog&) = delete;

 private:
  void look();

  Clock& machine_;
  Second every_;
  std::function<std::string()> overdue_;
  std::string starved_by_;
  Timer timer_;
};

}  // namespace leadwright
