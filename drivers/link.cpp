// SPDX-License-Identifier: Apache-2.0
#include "drivers/link.h"

namespace leadwright {

namespace {

constexpr std::string_view forms =
    "write serial:/dev/serial/by-id/NAME, usbtmc:/dev/instrument/NAME, tcp:HOST:PORT or memory:NAME";

bool changes_on_replug(std::string_view path) {
  return path.starts_with("/dev/ttyUSB") || path.starts_with("/dev/ttyACM") ||
         path.starts_with("/dev/usbtmc");
}

}  // namespace

Result<LinkAddress> LinkAddress::parse(std::string_view text) {
  const std::size_t colon = text.find(':');
  const std::string_view kind = text.substr(0, colon);
  const std::string_view target =
      colon == std::string_view::npos ? std::string_view() : text.substr(colon + 1);
  if (target.empty()) {
    return fail(Errc::bad_input, "not a link address", std::string(text), std::string(forms));
  }
  if (kind == "serial") {
    if (changes_on_replug(target)) {
      return fail(Errc::bad_input, "this name changes when the adapter is plugged in again",
                  std::string(text),
                  "use the link under /dev/serial/by-id/ (or /dev/serial/by-path/) that leads to it");
    }
    if (target.front() != '/') {
      return fail(Errc::bad_input, "a serial device must be an absolute path", std::string(text),
                  "write serial:/dev/serial/by-id/NAME");
    }
    return LinkAddress{Kind::serial, std::string(target)};
  }
  if (kind == "usbtmc") {
    if (changes_on_replug(target)) {
      return fail(Errc::bad_input, "this name changes when the instrument is plugged in again",
                  std::string(text), "use the link under /dev/instrument/ that a udev rule makes");
    }
    if (target.front() != '/') {
      return fail(Errc::bad_input, "a USBTMC device must be an absolute path", std::string(text),
                  "write usbtmc:/dev/instrument/NAME");
    }
    return LinkAddress{Kind::usbtmc, std::string(target)};
  }
  if (kind == "tcp") {
    const std::size_t port = target.rfind(':');
    const bool has_port = port != std::string_view::npos && port > 0 && port + 1 < target.size();
    if (!has_port || target.find_first_not_of("0123456789", port + 1) != std::string_view::npos) {
      return fail(Errc::bad_input, "a TCP link needs a host and a port", std::string(text),
                  "write tcp:192.0.2.7:5025");
    }
    return LinkAddress{Kind::tcp, std::string(target)};
  }
  if (kind == "memory") return LinkAddress{Kind::memory, std::string(target)};
  return fail(Errc::bad_input, "unknown kind of link", std::string(text), std::string(forms));
}

std::string LinkAddress::text() const {
  switch (kind) {
    case Kind::serial:
      return std::string("serial:").append(target);
    case Kind::usbtmc:
      return std::string("usbtmc:").append(target);
    case Kind::tcp:
      return std::string("tcp:").append(target);
    case Kind::memory:
      return std::string("memory:").append(target);
  }
  return target;
}

Task<Result<void>> Link::clear(Instant) {
  co_return fail(Errc::unsupported, "this kind of link has no device clear", name());
}

}  // namespace leadwright
