// SPDX-License-Identifier: Apache-2.0
#include "drivers/scpi_dialect.h"

#include <array>
#include <charconv>

#include "protocol/scpi.h"

namespace leadwright {

namespace {

constexpr std::string_view placeholder = "{n}";
constexpr std::string_view tag_head = "*ESE ";
constexpr std::string_view tag_tail = ";*ESE?";

/// A question ends in a question mark before its arguments.
bool asks(std::string_view message) {
  return message.find('?') != std::string_view::npos;
}

bool is_number(std::string_view text, int number) {
  text = trim_scpi(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  int value = 0;
  const auto [read_to, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc() && read_to == text.data() + text.size() && value == number;
}

/// The next whole line that is not blank is taken out of `came` up to `line_end`; false if there is none yet.
bool next_line(std::string& came, bool ended, std::size_t& line_end) {
  while (true) {
    line_end = came.find('\n');
    if (line_end == std::string::npos) {
      if (!ended || trim_scpi(came).empty()) return false;
      line_end = came.size();
      return true;
    }
    if (!trim_scpi(std::string_view(came).substr(0, line_end)).empty()) return true;
    came.erase(0, line_end + 1);
  }
}

std::string_view after(const std::string& came, std::size_t line_end) {
  return line_end < came.size() ? trim_scpi(std::string_view(came).substr(line_end + 1)) : std::string_view();
}

}  // namespace

bool ScpiDialect::is_answered(std::string_view message) const {
  return asks(message);
}

// Nothing may follow the answer to *IDN?, which has no end of its own but the message's (IEEE 488.2, 10.14).
bool ScpiDialect::is_tagged(std::string_view message) const {
  return profile_.errors.tag && asks(message) && message.find("*IDN?") == std::string_view::npos;
}

void ScpiDialect::next_number() {
  number_ = number_ < number_max ? number_ + 1 : number_min;
}

void ScpiDialect::frame(std::string_view message, std::string& wire) {
  if (is_tagged(message)) {
    next_number();
    std::array<char, 8> digits;
    const auto [end, error] = std::to_chars(digits.data(), digits.data() + digits.size(), number_);
    wire.append(tag_head).append(digits.data(), end).append(";").append(message).append(tag_tail);
  } else {
    wire.append(message);
  }
  wire.push_back('\n');
}

Heard ScpiDialect::hear(std::string_view message, std::string& came, bool ended) const {
  const bool tagged = is_tagged(message);
  std::size_t end = 0;
  while (next_line(came, ended, end)) {
    std::string_view line = trim_scpi(std::string_view(came).substr(0, end));
    if (tagged) {
      const std::size_t tag = line.rfind(';');
      if (tag == std::string_view::npos || !is_number(line.substr(tag + 1), number_)) {
        came.erase(0, end + 1);
        continue;
      }
      line = trim_scpi(line.substr(0, tag));
    }
    if (!after(came, end).empty()) return {Heard::Kind::garbled, {}, "more than one line came as the answer"};
    return {Heard::Kind::answer, line, ""};
  }
  return {};
}

std::string ScpiDialect::fence(std::string_view) {
  // A tag is a fence in every question.
  if (profile_.errors.fence.empty() || profile_.errors.tag) return {};
  next_number();
  std::string message = profile_.errors.fence;
  message.replace(message.find(placeholder), placeholder.size(), std::to_string(number_));
  return message;
}

Heard ScpiDialect::hear_fence(std::string_view, std::string& came, bool ended) const {
  std::size_t end = 0;
  while (next_line(came, ended, end)) {
    const bool is_ours = is_number(std::string_view(came).substr(0, end), number_);
    if (is_ours && after(came, end).empty()) return {Heard::Kind::answer, came, ""};
    came.erase(0, end + 1);
  }
  return {};
}

std::string ScpiDialect::off_bytes(std::string_view message) {
  return std::string(message).append("\n");
}

std::string ScpiDialect::off_bytes(const Profile& profile) {
  std::string bytes;
  for (const std::string& command : profile.safe.commands) {
    if (!one_message_a_write_) {
      bytes.append(command).push_back('\n');
      continue;
    }
    // One message: a leading colon starts again at the root of the command tree.
    if (!bytes.empty()) bytes.append(command.starts_with('*') || command.starts_with(':') ? ";" : ";:");
    bytes.append(command);
  }
  if (one_message_a_write_) bytes.push_back('\n');
  return bytes;
}

}  // namespace leadwright
