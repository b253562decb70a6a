// SPDX-License-Identifier: Apache-2.0
// A file descriptor in an io_context: what serial and TCP links share. A pump waits until it is readable,
// reads what is there and wakes whoever waits; no operation of Asio is ever cancelled, only closed. Thread:
// the loop's. Asio stays in fd_stream.cpp.
#pragma once

#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>

#include "daemon/clock/clock.h"
#include "protocol/result.h"

namespace leadwright {

class AsioLoop;

/// Hears every piece that crosses a stream; see WireTap for the sense of `outward`.
using StreamTap = std::function<void(bool outward, std::string_view bytes)>;

class FdStream {
 public:
  FdStream(AsioLoop& loop, Clock& machine, std::string name, StreamTap heard);
  FdStream(const FdStream&) = delete;
  FdStream& operator=(const FdStream&) = delete;
  ~FdStream();

  /// Takes over a non-blocking descriptor and starts to pump, now or when start() is called. On failure the
  /// descriptor is closed.
  enum class Pump { now, later };
  Result<void> adopt(int descriptor, Pump pump = Pump::now);
  void start();
  bool is_open() const;
  int descriptor() const;
  /// Ends at once with all bytes in the kernel's hands; waits only while the kernel's queue is full.
  Task<Result<void>> write(std::string_view bytes, Instant deadline);
  Task<Result<std::size_t>> read(std::span<char> into, Instant deadline);
  /// True once the kernel accepts bytes (a TCP connection was made, or failed), false at the deadline.
  Task<bool> writable(Instant deadline);
  void discard_input();
  /// See Link::urgent.
  bool urgent(std::string_view bytes) noexcept;
  void close() noexcept;

 private:
  struct State;
  std::shared_ptr<State> state_;
};

}  // namespace leadwright
