// SPDX-License-Identifier: Apache-2.0
#include "protocol/utf8.h"

#include <cstdint>
#include <optional>

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

bool is_control(std::uint32_t point) {
  return point < 0x20 || (point >= 0x7F && point < 0xA0);
}

struct Character {
  std::uint32_t point;
  std::size_t length;
};

/// The character that the text begins with, or nothing if it does not begin with a well-formed one.
std::optional<Character> first_of(std::string_view text) {
  const Lead lead = lead_of(static_cast<unsigned char>(text.front()));
  const std::size_t length = static_cast<std::size_t>(lead.followers) + 1;
  if (lead.followers < 0 || text.size() < length) return std::nullopt;
  std::uint32_t point = lead.bits;
  for (const char follower : text.substr(1, length - 1)) {
    const auto byte = static_cast<unsigned char>(follower);
    if ((byte & 0xC0U) != 0x80U) return std::nullopt;
    point = (point << 6U) | (byte & 0x3FU);
  }
  const bool is_surrogate = point >= 0xD800 && point <= 0xDFFF;
  if (point < lead.least || is_surrogate || point > 0x10FFFF) return std::nullopt;
  return Character{point, length};
}

}  // namespace

bool is_clean_text(std::string_view text) {
  while (!text.empty()) {
    const auto character = first_of(text);
    if (!character || is_control(character->point)) return false;
    text.remove_prefix(character->length);
  }
  return true;
}

std::string well_formed(std::string_view text) {
  constexpr std::string_view replacement = "\xEF\xBF\xBD";
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const auto character = first_of(text);
    out += character ? text.substr(0, character->length) : replacement;
    text.remove_prefix(character ? character->length : 1);
  }
  return out;
}

std::string_view trimmed(std::string_view text, std::string_view blanks) {
  const auto first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

}  // namespace leadwright
