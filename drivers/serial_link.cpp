// SPDX-License-Identifier: Apache-2.0
#include "drivers/serial_link.h"

#include "drivers/serial_port.h"

namespace leadwright {

SerialLink::SerialLink(AsioLoop& loop, Clock& machine, const LinkAddress& address,
                       const SerialSettings& settings)
    : name_(address.text()),
      path_(address.target),
      machine_(machine),
      settings_(settings),
      stream_(loop, machine, name_, [this](bool outward, std::string_view bytes) {
        if (tap) tap(name_, outward, bytes, machine_.now());
      }) {}

SerialLink::~SerialLink() {
  close();
}

Task<Result<void>> SerialLink::open(Instant) {
  if (is_open()) co_return fail(Errc::busy, "already open", name_);
  const Result<int> descriptor = open_serial_port(path_, settings_, name_);
  if (!descriptor) co_return tl::unexpected(descriptor.error());
  co_return stream_.adopt(*descriptor);
}

Task<Result<void>> SerialLink::write(std::string_view bytes, Instant deadline) {
  return stream_.write(bytes, deadline);
}

Task<Result<std::size_t>> SerialLink::read(std::span<char> into, Instant deadline) {
  return stream_.read(into, deadline);
}

void SerialLink::close() noexcept {
  if (stream_.is_open()) share_serial_port(stream_.descriptor());
  stream_.close();
}

}  // namespace leadwright
