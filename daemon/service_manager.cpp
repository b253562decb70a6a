// SPDX-License-Identifier: Apache-2.0
#include "daemon/service_manager.h"

#include <systemd/sd-daemon.h>

#include <algorithm>
#include <cstdint>

namespace leadwright::service_manager {

namespace {

/// A status is one line.
std::string line_of(std::string text) {
  std::ranges::replace_if(
      text, [](char c) { return c == '\n' || c == '\r'; }, ' ');
  return text;
}

}  // namespace

void ready(const std::string& status) {
  ::sd_notify(0, ("READY=1\nSTATUS=" + line_of(status)).c_str());
}

void status(const std::string& status) {
  ::sd_notify(0, ("STATUS=" + line_of(status)).c_str());
}

void alive() {
  ::sd_notify(0, "WATCHDOG=1");
}

void stopping() {
  ::sd_notify(0, "STOPPING=1");
}

std::optional<Second> alive_within() {
  std::uint64_t microseconds = 0;
  if (::sd_watchdog_enabled(0, &microseconds) <= 0) return std::nullopt;
  return Second(static_cast<double>(microseconds) * 1e-6);
}

}  // namespace leadwright::service_manager
