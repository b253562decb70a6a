// SPDX-License-Identifier: Apache-2.0
// The blocking calls of the kernel's usbtmc device. Owned by a UsbtmcHelper; its thread alone may call it: a
// transfer blocks for its time-out (a read for two), opening and clearing for the 5 s of control requests, or
// several of them. Never: retries. Read next: usbtmc_helper.h (when each is called).
// Facts about the driver: drivers/usb/class/usbtmc.c of Linux, API version 2.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "daemon/quantities/quantity.h"
#include "protocol/result.h"

namespace leadwright {

/// What one transfer brought.
struct UsbtmcPiece {
  std::string bytes;
  bool ends_message = false;
};

class UsbtmcFile {
 public:
  UsbtmcFile(std::string path, std::string name) : path_(std::move(path)), name_(std::move(name)) {}
  UsbtmcFile(const UsbtmcFile&) = delete;
  UsbtmcFile& operator=(const UsbtmcFile&) = delete;
  ~UsbtmcFile() { close(); }

  /// Opens exclusively and makes the device forget its former owner. Fails with not_found, busy, bad_input
  /// (no USBTMC device, or a time-out that the driver refuses), timed_out, link_lost or io, and is closed
  /// then.
  Result<void> open(Second timeout);
  bool is_open() const { return descriptor_ >= 0; }
  /// Time-out of each transfer from now on; the driver takes 100 ms at least.
  Result<void> set_timeout(Second timeout);
  /// Exactly one complete program message. Fails with timed_out, link_lost, garbled or io.
  Result<void> write(std::string_view message);
  /// One transfer of at most `piece_max` bytes. Fails with timed_out, link_lost, garbled or io.
  Result<UsbtmcPiece> read();
  /// The status byte of IEEE 488.2, which USB488 devices have. Disturbs no transfer.
  Result<std::uint8_t> status_byte();
  /// Ends the transfer that failed last. clear() must follow, whose outcome is the one that counts.
  void abort() noexcept;
  /// The device forgets what it was asked, and what it has not executed yet.
  Result<void> clear();
  void close() noexcept;

  static constexpr std::size_t piece_max = 4096;

 private:
  Result<void> prepare(Second timeout);
  tl::unexpected<Error> transfer_error(int error, const char* what);

  std::string path_;
  std::string name_;
  int descriptor_ = -1;
  std::uint32_t timeout_ms_ = 0;
  bool failed_outward_ = false;
  bool is_stalled_ = false;
  std::array<char, piece_max> buffer_{};
};

}  // namespace leadwright
