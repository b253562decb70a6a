// SPDX-License-Identifier: Apache-2.0
// The link seam: bytes in, bytes out, with deadline and close. Serial, USBTMC, TCP and in-memory links
// implement it. Owned by a Line. Thread: control. Never: blocks, retries, or interprets what it carries. Read
// next: line.h (who owns it), memory_link.h (the seeded one), serial_link.h, usbtmc_link.h, tcp_link.h.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>

#include "daemon/clock/clock.h"
#include "protocol/result.h"

namespace leadwright {

/// Where a link leads, as the configuration names it:
/// "serial:/dev/serial/by-id/...", "usbtmc:/dev/instrument/...", "tcp:HOST:PORT" or "memory:NAME" (tests and
/// rehearsals).
struct LinkAddress {
  enum class Kind { serial, usbtmc, tcp, memory } kind = Kind::serial;
  std::string target;
  /// Fails with bad_input, naming what is wrong. Refuses ttyUSB, ttyACM and usbtmc0 names: they change on
  /// replug.
  static Result<LinkAddress> parse(std::string_view text);
  std::string text() const;
};

struct SerialSettings {
  int baud = 9600;
  int bits = 8;
  enum class Parity { none, even, odd } parity = Parity::none;
  int stop = 1;
  enum class Flow { none, rts_cts, xon_xoff } flow = Flow::none;
  bool dtr = true;           ///< level of the line DTR while open
  bool rts = true;           ///< level of the line RTS while open, unless flow control or RS-485 drives it
  bool rs485 = false;        ///< the driver turns the transmitter on while it sends
  bool low_latency = false;  ///< the driver hands bytes over at once, where it can
  Second boot{0.0};          ///< machine time that an instrument which opening resets needs to start
  bool operator==(const SerialSettings&) const = default;
};

/// Hears every byte that crosses a link, for the wire log. `outward` is from the daemon to the instrument.
using WireTap =
    std::function<void(const std::string& link, bool outward, std::string_view bytes, Instant at)>;

class Link {
 public:
  virtual ~Link() = default;

  /// Name for messages: the address as configured.
  virtual const std::string& name() const = 0;
  /// Opens exclusively. Fails with not_found (no such device), busy (another owner), timed_out or io.
  virtual Task<Result<void>> open(Instant deadline) = 0;
  virtual bool is_open() const = 0;
  /// Machine time after open before the instrument may be expected to answer.
  virtual Second boot_time() const { return Second(0.0); }
  /// Hands all bytes to the kernel, or fails with timed_out or link_lost.
  virtual Task<Result<void>> write(std::string_view bytes, Instant deadline) = 0;
  /// At least one byte into `into`, or timed_out, or link_lost (unplugged, peer gone).
  virtual Task<Result<std::size_t>> read(std::span<char> into, Instant deadline) = 0;
  /// A link that carries whole messages (USBTMC) says here that the last byte read ended one. A stream never
  /// does.
  virtual bool message_ended() const { return false; }
  /// Tells the device to forget what it was asked (USBTMC INITIATE_CLEAR); fails with unsupported where the
  /// link has no such thing.
  virtual Task<Result<void>> clear(Instant deadline);
  /// Forgets what has arrived and was not read.
  virtual void discard_input() = 0;
  /// The off path: hands `bytes` over at once, without allocation or suspension, ahead of everything queued;
  /// a half-sent message is ended first. True if the kernel took all of them, or surely will within
  /// urgent_within(). Works whatever coroutine is suspended in read or write.
  virtual bool urgent(std::string_view bytes) noexcept = 0;
  /// The longest that urgent bytes may wait for the kernel, in machine time: 0 unless the kernel's own calls
  /// block (USBTMC).
  virtual Second urgent_within() const { return Second(0.0); }
  /// Closes; a pending read or write ends with link_lost.
  virtual void close() noexcept = 0;

  WireTap tap;  ///< empty unless somebody listens
};

/// Makes links from addresses; the daemon gets one from main, the tests one that makes memory links.
class LinkFactory {
 public:
  virtual ~LinkFactory() = default;
  virtual Result<std::unique_ptr<Link>> make(const LinkAddress& address, const SerialSettings& serial) = 0;
};

}  // namespace leadwright
