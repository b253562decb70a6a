// SPDX-License-Identifier: Apache-2.0
// Bytes and big-endian words of Modbus messages. Beyond the end of a message there are zeros, so that no
// reader of a short one goes wrong.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace leadwright {

inline std::uint8_t byte_at(std::string_view bytes, std::size_t at) noexcept {
  return at < bytes.size() ? static_cast<std::uint8_t>(bytes[at]) : std::uint8_t{0};
}

inline std::uint16_t word_at(std::string_view bytes, std::size_t at) noexcept {
  return static_cast<std::uint16_t>(byte_at(bytes, at) << 8 | byte_at(bytes, at + 1));
}

inline void append_byte(std::string& bytes, unsigned value) {
  bytes.push_back(static_cast<char>(value));
}

inline void append_word(std::string& bytes, unsigned value) {
  append_byte(bytes, value >> 8 & 0xFF);
  append_byte(bytes, value & 0xFF);
}

}  // namespace leadwright
