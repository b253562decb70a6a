// SPDX-License-Identifier: Apache-2.0
// Bytes as hexadecimal digits in tests.
#pragma once

#include <string>
#include <string_view>

namespace leadwright {

/// "01 0013" and "01 00 13" are three bytes.
inline std::string from_hex(std::string_view digits) {
  constexpr std::string_view all = "0123456789ABCDEF";
  std::string bytes;
  int half = -1;
  for (const char digit : digits) {
    const auto value = static_cast<int>(all.find(digit));
    if (value < 0) continue;
    if (half < 0) {
      half = value;
    } else {
      bytes += static_cast<char>(half * 16 + value);
      half = -1;
    }
  }
  return bytes;
}

/// "01 00 13".
inline std::string to_hex(std::string_view bytes) {
  constexpr std::string_view all = "0123456789ABCDEF";
  std::string digits;
  for (const char byte : bytes) {
    const auto value = static_cast<unsigned char>(byte);
    if (!digits.empty()) digits += ' ';
    digits += all[value / 16];
    digits += all[value % 16];
  }
  return digits;
}

}  // namespace leadwright
