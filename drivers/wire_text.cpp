// SPDX-License-Identifier: Apache-2.0
#include "drivers/wire_text.h"

#include <algorithm>

namespace leadwright {

namespace {

constexpr std::string_view digits = "0123456789abcdef";

void add_hex(std::string& text, char byte) {
  const auto code = static_cast<unsigned char>(byte);
  text += digits[code >> 4U];
  text += digits[code & 0x0FU];
}

bool is_printable(char byte) {
  return byte >= 0x20 && byte <= 0x7e;
}

}  // namespace

std::string escaped(std::string_view bytes) {
  std::string text;
  text.reserve(bytes.size() + 2);
  for (const char byte : bytes) {
    if (byte == '\n') {
      text += "\\n";
    } else if (byte == '\r') {
      text += "\\r";
    } else if (byte == '\t') {
      text += "\\t";
    } else if (byte == '\\') {
      text += "\\\\";
    } else if (is_printable(byte)) {
      text += byte;
    } else {
      text += "\\x";
      add_hex(text, byte);
    }
  }
  return text;
}

std::string hex(std::string_view bytes) {
  std::string text;
  text.reserve(bytes.size() * 3);
  for (const char byte : bytes) {
    if (!text.empty()) text += ' ';
    add_hex(text, byte);
  }
  return text;
}

bool is_binary(std::string_view bytes) {
  const auto strange = std::ranges::count_if(
      bytes, [](char byte) { return !is_printable(byte) && byte != '\n' && byte != '\r' && byte != '\t'; });
  return static_cast<std::size_t>(strange) * 4 > bytes.size();
}

}  // namespace leadwright
