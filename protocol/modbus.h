// SPDX-License-Identifier: Apache-2.0
// Modbus from the controller's side: pure functions, bytes in, values out. A message is a protocol data unit
// (PDU: function and data, without address and check); protocol/modbus_frames.h puts it on a serial line
// (RTU) or into TCP. Source of functions, limits and exceptions: the Modbus application protocol
// specification V1.1b3. None of them throws; none allocates but what appends to a string, describes or fails.
// Read next: modbus_frames.h, modbus_values.h (what 16-bit words mean).
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "protocol/result.h"

namespace leadwright {

/// The four tables of a unit. Addresses start at 0, as on the wire: "40001" of a manual is holding 0.
enum class ModbusSpace { coil, discrete, holding, input };
const char* word(ModbusSpace space);

constexpr std::size_t modbus_pdu_max = 253;
constexpr int modbus_read_bits_max = 2000;
constexpr int modbus_read_words_max = 125;
constexpr int modbus_write_bits_max = 1968;
constexpr int modbus_write_words_max = 123;
constexpr int modbus_exchange_write_words_max = 121;

/// Requests, appended to `pdu`. Functions 1 to 4 by the space. Counts outside the limits above, or beyond
/// address 65535, or writes to a read-only space, fail with bad_input and append nothing.
Result<void> append_modbus_read(std::string& pdu, ModbusSpace space, int at, int count);
/// Function 5 (coil; value 0 or 1) or 6 (holding).
Result<void> append_modbus_write(std::string& pdu, ModbusSpace space, int at, std::uint16_t value);
/// Function 16.
Result<void> append_modbus_write_words(std::string& pdu, int at, std::span<const std::uint16_t> words);
/// Function 15.
Result<void> append_modbus_write_bits(std::string& pdu, int at, std::span<const bool> bits);
/// Function 23: writes, then reads.
Result<void> append_modbus_exchange(std::string& pdu, int read_at, int read_count, int write_at,
                                    std::span<const std::uint16_t> words);

/// How long the answer PDU to `request` is, from what came of it so far: its first byte tells an answer from
/// an exception (2 bytes). 0 while nothing came, and as soon as it can't be the answer: another function,
/// another byte count than was asked for. More bytes than the PDU's do no harm.
std::size_t modbus_answer_size(std::string_view request, std::string_view answer_so_far) noexcept;

/// Whether `answer` is a whole and right answer to `request`: function, echo, byte count. An exception of the
/// unit is an error: unsupported (01 to 03: the profile is wrong; `what` says the function and the address),
/// busy (05, 06, 0B), io (04, 08, 0A and unknown ones). Anything else is garbled. Bits beyond those asked for
/// may have any value.
Result<void> check_modbus_answer(std::string_view request, std::string_view answer);

/// Word `index` of a right answer to a read of words (functions 3, 4, 23). 0 beyond its end.
std::uint16_t modbus_word(std::string_view answer, std::size_t index) noexcept;
/// Bit `index` of a right answer to a read of bits (functions 1, 2). False beyond its end.
bool modbus_bit(std::string_view answer, std::size_t index) noexcept;
/// How many words or bits (rounded up to whole bytes) a right answer to a read holds; 0 for other answers.
std::size_t modbus_words(std::string_view answer) noexcept;
std::size_t modbus_bits(std::string_view answer) noexcept;

/// "read input 100, 4 words", "write coil 3, 1 bit", for messages.
std::string describe_modbus(std::string_view request);

}  // namespace leadwright
