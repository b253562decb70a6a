// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/vehicle_monitor.h"

#include "daemon/battery/uncertainty.h"

namespace leadwright {

std::string words(const VehicleMonitor& monitor) {
  constexpr Second day = hours(24.0);
  std::string text;
  const auto add = [&text](const std::string& part) { text.append(text.empty() ? "" : "; ").append(part); };
  if (monitor.soc) add(fixed(100.0 * *monitor.soc, 0) + " % charged");
  if (monitor.age) add(fixed(*monitor.age / day, 0) + " days old");
  if (monitor.battery) add(fixed(monitor.battery->degc(), 1) + " degC");
  if (!monitor.reset_on.empty()) add("told of a change on " + monitor.reset_on);
  return text;
}

}  // namespace leadwright
