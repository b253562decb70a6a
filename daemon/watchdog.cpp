// SPDX-License-Identifier: Apache-2.0
#include "daemon/watchdog.h"

#include "daemon/service_manager.h"
#include "daemon/settings/log.h"

namespace leadwright {

Watchdog::Watchdog(Clock& machine, Second period, std::function<std::string()> overdue)
    : machine_(machine), every_(period / 4.0), overdue_(std::move(overdue)), timer_(machine) {
  look();
}

void Watchdog::look() {
  const std::string late = overdue_();
  if (late.empty()) {
    service_manager::alive();
  } else if (late != starved_by_) {
    log_event(Level::critical, "watchdog.not_fed", {{"place", late}});
    service_manager::status("the protection of " + late + " is overdue");
  }
  starved_by_ = late;
  timer_.set(machine_.now() + every_, [this] { look(); });
}

}  // namespace leadwright
