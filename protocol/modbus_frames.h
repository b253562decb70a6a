// SPDX-License-Identifier: Apache-2.0
// Modbus frames around a PDU: RTU on a serial line (unit, PDU, CRC-16) and TCP (MBAP header). Pure. A frame
// is recognised by its expected length and check, never by silence: user space can't see 1.5 characters of
// it. Source: MODBUS over serial line V1.02, MODBUS messaging on TCP/IP V1.0b.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace leadwright {

/// CRC-16 of a serial line, low byte first on the wire: start FFFF, polynomial A001 (8005 reflected).
std::uint16_t modbus_crc(std::string_view bytes) noexcept;

/// Unit 0 is everybody, and nobody answers.
void append_rtu(std::string& wire, std::uint8_t unit, std::string_view pdu);
/// `transaction` comes back with the answer.
void append_mbap(std::string& wire, std::uint16_t transaction, std::uint8_t unit, std::string_view pdu);

/// What came so far, read as the answer to one request.
struct ModbusHeard {
  enum class Kind {
    incomplete,  ///< wait for more
    answer,      ///< `pdu` is it; nothing came after it
    garbled,     ///< can't become the answer any more; `why` says what is wrong
  } kind = Kind::incomplete;
  std::string_view pdu;  ///< points into what came
  const char* why = "";
};

/// RTU: `echo` expects the request's own bytes first (two-wire adapters that hear themselves); other bytes
/// there are a collision. Without `echo` such an adapter's echo of functions 5 and 6 can't be told from the
/// unit's answer, which is the same bytes; an echo of anything else is garbled.
ModbusHeard hear_rtu(std::string_view came, std::uint8_t unit, std::string_view request,
                     bool echo = false) noexcept;

/// TCP: an answer of another transaction is somebody's late answer. `foreign` is the number of bytes of whole
/// foreign frames at the front, for the caller to throw away before it hears again; the verdict and `pdu` are
/// of what follows them.
ModbusHeard hear_mbap(std::string_view came, std::uint16_t transaction, std::uint8_t unit,
                      std::string_view request, std::size_t& foreign) noexcept;

/// The least silence before a request on a serial line: 3.5 characters, 1.75 ms above 19200 baud (Modbus over
/// serial line V1.02, 2.5.1.1). In seconds. `baud` is positive.
double rtu_silence_s(int baud, int bits_per_character) noexcept;

}  // namespace leadwright
