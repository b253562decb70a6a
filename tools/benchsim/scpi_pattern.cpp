// SPDX-License-Identifier: Apache-2.0
#include <cctype>
#include <cstddef>

#include "tools/benchsim/scpi_device.h"

namespace leadwright {

namespace {

char upper(char c) {
  return static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
}

/// Length of the word at the start of `text`: letters, digits, star, underscore.
std::size_t word_length(std::string_view text) {
  std::size_t n = 0;
  while (n < text.size() &&
         (std::isalnum(static_cast<unsigned char>(text[n])) || text[n] == '*' || text[n] == '_'))
    ++n;
  return n;
}

bool is_word(std::string_view pattern, std::string_view word) {
  std::size_t short_length = 0;
  while (short_length < pattern.size() && !std::islower(static_cast<unsigned char>(pattern[short_length])))
    ++short_length;
  if (word.size() != short_length && word.size() != pattern.size()) return false;
  for (std::size_t i = 0; i < word.size(); ++i) {
    if (upper(pattern[i]) != word[i]) return false;
  }
  return true;
}

/// Matches from here on; `fresh` means that no word has been matched yet, so a leading colon may be absent.
bool matches(std::string_view pattern, std::string_view header, bool fresh) {
  if (pattern.empty()) return header.empty();
  if (pattern.front() == '[') {
    const std::size_t close = pattern.find(']');
    const std::string inside(pattern.substr(1, close - 1));
    const std::string_view after = pattern.substr(close + 1);
    return matches(inside + std::string(after), header, fresh) || matches(after, header, fresh);
  }
  if (pattern.front() == ':') {
    if (fresh) return matches(pattern.substr(1), header, true);
    return !header.empty() && header.front() == ':' && matches(pattern.substr(1), header.substr(1), false);
  }
  if (pattern.front() == '?') return header == "?";
  const std::size_t pattern_length = word_length(pattern);
  const std::size_t header_length = word_length(header);
  if (pattern_length == 0 || header_length == 0) return false;
  return is_word(pattern.substr(0, pattern_length), header.substr(0, header_length)) &&
         matches(pattern.substr(pattern_length), header.substr(header_length), false);
}

}  // namespace

bool is_scpi_spelling(std::string_view pattern, std::string_view header) {
  return matches(pattern, header, true);
}

}  // namespace leadwright
