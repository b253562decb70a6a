// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/content_hash.h"

#include <sodium.h>

#include <array>

namespace leadwright {

std::string content_hash(std::string_view bytes) {
  std::array<unsigned char, 32> digest{};
  crypto_generichash(digest.data(), digest.size(), reinterpret_cast<const unsigned char*>(bytes.data()),
                     bytes.size(), nullptr, 0);
  constexpr std::string_view hex = "0123456789abcdef";
  std::string text;
  text.reserve(2 * digest.size());
  for (const unsigned char byte : digest) {
    text += hex[byte >> 4];
    text += hex[byte & 15];
  }
  return text;
}

std::string content_tag(std::string_view bytes) {
  std::string tag(1, '"');
  tag.append(content_hash(bytes), 0, 32);
  tag.push_back('"');
  return tag;
}

}  // namespace leadwright
