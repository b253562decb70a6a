// SPDX-License-Identifier: Apache-2.0
// Words of one command line.
#pragma once

#include <charconv>
#include <optional>
#include <string>
#include <string_view>

#include "protocol/result.h"

namespace leadwright {

inline std::string_view trim_words(std::string_view text) {
  while (!text.empty() && static_cast<unsigned char>(text.front()) <= ' ') text.remove_prefix(1);
  while (!text.empty() && static_cast<unsigned char>(text.back()) <= ' ') text.remove_suffix(1);
  return text;
}

/// Takes the first word off `rest`; empty if there is none.
inline std::string_view take_word(std::string_view& rest) {
  rest = trim_words(rest);
  const std::string_view word = rest.substr(0, rest.find(' '));
  rest = trim_words(rest.substr(word.size()));
  return word;
}

/// The answer to a command that can't be carried out.
inline std::string failed(const Error& error) {
  return "error: " + error.line();
}

/// The whole of `word` as a number from `least` to `most`.
template <class Number>
std::optional<Number> number_word(std::string_view word, Number least, Number most) {
  Number value{};
  const auto [end, bad] = std::from_chars(word.data(), word.data() + word.size(), value);
  const bool is_whole = bad == std::errc() && end == word.data() + word.size();
  return is_whole && value >= least && value <= most ? std::optional<Number>(value) : std::nullopt;
}

}  // namespace leadwright
