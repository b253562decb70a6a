// SPDX-License-Identifier: Apache-2.0
// Letters of ASCII in the other case, whatever the locale; every other byte as it is. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

namespace leadwright {

constexpr char upper_ascii(char c) {
  return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
}
constexpr char lower_ascii(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

inline std::string upper_ascii(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = upper_ascii(c);
  return result;
}
inline std::string lower_ascii(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = lower_ascii(c);
  return result;
}

}  // namespace leadwright
