// SPDX-License-Identifier: Apache-2.0
#include "daemon/service_manager.h"

#include <systemd/sd-daemon.h>

#include <cstdint>
#include <cstring>

#include "daemon/settings/log.h"

namespace leadwright {

namespace {
/// Without a watchdog the status is still told.
constexpr Second status_period{5.0};
}  // namespace

Result<void> tell_service_manager(const std::string& state) {
  const int told = sd_notify(0, state.c_str());
  if (told >= 0) return {};
  return fail(Errc::io, std::string("systemd was not told: ") + std::strerror(-told), "NOTIFY_SOCKET",
              "check NotifyAccess= of the unit");
}

std::optional<Second> watchdog_interval() {
  std::uint64_t microseconds = 0;
  if (sd_watchdog_enabled(0, &microseconds) <= 0) return std::nullopt;
  return Second(static_cast<double>(microseconds) * 1e-6);
}

Watchdog::Watchdog(Clock& machine, Orders orders)
    : machine_(machine), orders_(std::move(orders)), timer_(machine) {}

void Watchdog::begin() {
  orders_.tell("READY=1");
  ping();
}

void Watchdog::end() {
  timer_.cancel();
  orders_.tell("STOPPING=1");
}

void Watchdog::ping() {
  const std::optional<std::string> overdue = orders_.overdue();
  if (overdue && !is_overdue_) log_event(Level::critical, "watchdog.withheld", {{"why", *overdue}});
  is_overdue_ = overdue.has_value();
  std::string state = "STATUS=" + (overdue ? *overdue : orders_.status());
  if (orders_.interval && !overdue) state += "\nWATCHDOG=1";
  orders_.tell(state);
  timer_.set(machine_.now() + (orders_.interval ? *orders_.interval / 2.0 : status_period),
             [this] { ping(); });
}

}  // namespace leadwright
