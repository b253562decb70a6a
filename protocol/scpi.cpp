// SPDX-License-Identifier: Apache-2.0
#include "protocol/scpi.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "protocol/ascii.h"

namespace leadwright {

namespace {

// SCPI-1999, 7.2.1.4 and 7.2.1.5: 9.9E37 stands for infinity, 9.91E37 for "not a number".
constexpr double infinity = 9.9e37;

bool is_blank(char c) {
  return static_cast<unsigned char>(c) <= ' ';
}

bool same_word(std::string_view text, std::string_view word) {
  if (text.size() != word.size()) return false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (upper_ascii(text[i]) != word[i]) return false;
  }
  return true;
}

bool is_missing_word(std::string_view unsigned_text) {
  for (const char* word : {"INF", "NAN", "NINF", "INFINITY"}) {
    if (same_word(unsigned_text, word)) return true;
  }
  return false;
}

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// What there is when a block is not whole: no more will come once the message has ended.
ScpiBlock unfinished(bool ended, std::size_t size = 0) {
  if (ended) return {ScpiBlock::Kind::not_a_block, {}, 0};
  return {ScpiBlock::Kind::incomplete, {}, size};
}

}  // namespace

std::string_view trim_scpi(std::string_view text) noexcept {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

std::optional<ScpiNumber> read_scpi_number(std::string_view text) noexcept {
  text = trim_scpi(text);
  if (text.empty()) return std::nullopt;
  const bool has_sign = text.front() == '+' || text.front() == '-';
  const std::string_view bare = text.substr(has_sign ? 1 : 0);
  if (bare.empty()) return std::nullopt;
  const bool starts_right = is_digit(bare.front()) || bare.front() == '.';
  if (!starts_right) {
    if (is_missing_word(bare)) return ScpiNumber{0.0, true};
    return std::nullopt;
  }
  double value = 0.0;
  const char* end = bare.data() + bare.size();
  const auto [read_to, error] = std::from_chars(bare.data(), end, value);
  if (error != std::errc() || read_to != end) return std::nullopt;
  if (value >= infinity) return ScpiNumber{0.0, true};
  return ScpiNumber{text.front() == '-' ? -value : value, false};
}

std::optional<bool> read_scpi_boolean(std::string_view text) noexcept {
  text = trim_scpi(text);
  if (same_word(text, "ON")) return true;
  if (same_word(text, "OFF")) return false;
  const auto number = read_scpi_number(text);
  if (!number || number->missing) return std::nullopt;
  return std::abs(number->value) >= 0.5;
}

std::optional<std::string> read_scpi_string(std::string_view text) {
  text = trim_scpi(text);
  if (text.size() < 2 || (text.front() != '"' && text.front() != '\'')) return std::nullopt;
  const char quote = text.front();
  std::string result;
  for (std::size_t i = 1; i < text.size(); ++i) {
    if (text[i] != quote) {
      result.push_back(text[i]);
      continue;
    }
    if (i + 1 == text.size()) return result;
    if (text[i + 1] != quote) return std::nullopt;
    result.push_back(quote);
    ++i;
  }
  return std::nullopt;
}

// IEEE 488.2, 8.7.9 (definite) and 8.7.10 (indefinite, ended by NL with END), from memory.
ScpiBlock read_scpi_block(std::string_view came, bool ended) noexcept {
  std::size_t at = 0;
  while (at < came.size() && is_blank(came[at])) ++at;
  if (at == came.size()) return unfinished(ended);
  if (came[at] != '#') return {ScpiBlock::Kind::not_a_block, {}, 0};
  if (++at == came.size()) return unfinished(ended);
  if (!is_digit(came[at])) return {ScpiBlock::Kind::not_a_block, {}, 0};
  const int digits = came[at++] - '0';
  if (digits == 0) {
    if (!ended) return unfinished(ended);
    std::string_view bytes = came.substr(at);
    if (bytes.ends_with('\n')) bytes.remove_suffix(1);
    return {ScpiBlock::Kind::complete, bytes, at + bytes.size()};
  }
  std::size_t count = 0;
  for (int i = 0; i < digits; ++i, ++at) {
    if (at == came.size()) return unfinished(ended);
    if (!is_digit(came[at])) return {ScpiBlock::Kind::not_a_block, {}, 0};
    count = count * 10 + static_cast<std::size_t>(came[at] - '0');
  }
  if (came.size() - at < count) return unfinished(ended, at + count);
  return {ScpiBlock::Kind::complete, came.substr(at, count), at + count};
}

std::size_t split_scpi_answer(std::string_view answer, std::span<std::string_view> into) noexcept {
  std::size_t count = 0;
  std::size_t begin = 0;
  char open_quote = 0;
  for (std::size_t i = 0; i <= answer.size(); ++i) {
    const bool at_end = i == answer.size();
    if (!at_end && open_quote != 0) {
      if (answer[i] == open_quote) open_quote = 0;
      continue;
    }
    if (!at_end && (answer[i] == '"' || answer[i] == '\'')) open_quote = answer[i];
    if (!at_end && answer[i] != ';' && answer[i] != ',') continue;
    if (count < into.size()) into[count] = trim_scpi(answer.substr(begin, i - begin));
    ++count;
    begin = i + 1;
  }
  return count;
}

std::optional<ScpiFault> read_scpi_fault(std::string_view text) {
  const std::size_t comma = text.find(',');
  const auto number = read_scpi_number(text.substr(0, comma));
  if (!number || number->missing || std::abs(number->value) > 1e6) return std::nullopt;
  if (number->value != std::floor(number->value)) return std::nullopt;
  ScpiFault fault{static_cast<int>(number->value), {}};
  if (comma == std::string_view::npos) return fault;
  const std::string_view rest = text.substr(comma + 1);
  if (auto quoted = read_scpi_string(rest)) {
    fault.text = std::move(*quoted);
  } else {
    fault.text = trim_scpi(rest);
  }
  return fault;
}

std::optional<ScpiIdentity> read_scpi_identity(std::string_view text) noexcept {
  std::string_view fields[4];
  std::size_t count = 0;
  text = trim_scpi(text);
  for (std::size_t begin = 0; begin <= text.size(); ++count) {
    const std::size_t comma = std::min(text.find(',', begin), text.size());
    if (count < 4) fields[count] = trim_scpi(text.substr(begin, comma - begin));
    begin = comma + 1;
  }
  if (count != 4) return std::nullopt;
  return ScpiIdentity{fields[0], fields[1], fields[2], fields[3]};
}

std::string_view write_scpi_number(double value, int decimals, std::span<char, 48> room) noexcept {
  if (!(std::abs(value) < 1e30) || decimals < 0 || decimals > 9) return {};
  char* const begin = room.data();
  const auto [end, error] =
      std::to_chars(begin, begin + room.size(), value, std::chars_format::fixed, decimals);
  if (error != std::errc()) return {};
  const std::string_view text(begin, static_cast<std::size_t>(end - begin));
  const bool is_zero = text.find_first_of("123456789") == std::string_view::npos;
  return is_zero && text.front() == '-' ? text.substr(1) : text;
}

}  // namespace leadwright
