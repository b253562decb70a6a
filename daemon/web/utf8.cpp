// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/utf8.h"

#include <cstdint>

namespace leadwright {
namespace {

struct Lead {
  int followers = -1;  ///< -1: can't begin a character
  std::uint32_t bits = 0;
  std::uint32_t least = 0;  ///< smallest code point of this length
};

Lead lead_of(unsigned char byte) {
  if (byte < 0x80) return {0, byte, 0};
  if (byte >= 0xC2 && byte <= 0xDF) return {1, byte & 0x1FU, 0x80};
  if (byte >= 0xE0 && byte <= 0xEF) return {2, byte & 0x0FU, 0x800};
  if (byte >= 0xF0 && byte <= 0xF4) return {3, byte & 0x07U, 0x10000};
  return {};
}

bool is_allowed(std::uint32_t point) {
  const bool is_control = point < 0x20 || (point >= 0x7F && point < 0xA0);
  const bool is_surrogate = point >= 0xD800 && point <= 0xDFFF;
  return !is_control && !is_surrogate && point <= 0x10FFFF;
}

}  // namespace

bool is_clean_text(std::string_view text) {
  std::size_t i = 0;
  while (i < text.size()) {
    const Lead lead = lead_of(static_cast<unsigned char>(text[i++]));
    if (lead.followers < 0) return false;
    std::uint32_t point = lead.bits;
    for (int k = 0; k < lead.followers; ++k, ++i) {
      if (i >= text.size()) return false;
      const auto byte = static_cast<unsigned char>(text[i]);
      if ((byte & 0xC0U) != 0x80U) return false;
      point = (point << 6U) | (byte & 0x3FU);
    }
    if (point < lead.least || !is_allowed(point)) return false;
  }
  return true;
}

}  // namespace leadwright
