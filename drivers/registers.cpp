// SPDX-License-Identifier: Apache-2.0
// Modbus registers of a profile: their messages and the numbers in them; outputs of either dialect; messages
// for people.
#include <array>
#include <cmath>
#include <string>

#include "drivers/answers.h"
#include "protocol/scpi.h"

namespace leadwright {

namespace {

constexpr int first_printable = 0x20;
constexpr int last_printable = 0x7E;

bool is_text(std::string_view bytes) {
  for (const char byte : bytes) {
    const auto code = static_cast<unsigned char>(byte);
    if (code < first_printable || code > last_printable) return false;
  }
  return true;
}

/// Memory that nobody wrote.
bool is_all_ones(std::string_view answer, int words) {
  for (std::size_t i = 0; i < static_cast<std::size_t>(words); ++i) {
    if (modbus_word(answer, i) != 0xFFFF) return false;
  }
  return true;
}

std::string with_number(std::string text, int number) {
  constexpr std::string_view mark = "{n}";
  const std::size_t at = text.find(mark);
  return at == std::string::npos ? text : text.replace(at, mark.size(), std::to_string(number));
}

}  // namespace

std::string read_message(const RegisterField& field) {
  std::string message;
  const int count = field.is_bit() ? 1 : register_count(field.type);
  // A profile holds addresses that its reader has checked.
  static_cast<void>(append_modbus_read(message, field.space, field.at, count));
  return message;
}

Result<std::string> write_message(const RegisterField& field, double value) {
  std::string message;
  if (field.is_bit()) {
    Result<void> written = append_modbus_write(message, field.space, field.at, value != 0.0 ? 1 : 0);
    if (!written) return pass(written);
    return message;
  }
  const auto words = write_register(field.type, field.order, (value - field.offset) / field.scale);
  if (!words) return fail(Errc::bad_input, "the register can't hold " + std::to_string(value));
  const std::span<const std::uint16_t> all(words->words.data(), static_cast<std::size_t>(words->count));
  Result<void> written = all.size() == 1 ? append_modbus_write(message, field.space, field.at, all[0])
                                         : append_modbus_write_words(message, field.at, all);
  if (!written) return pass(written);
  return message;
}

double field_value(const RegisterField& field, std::string_view answer) {
  if (field.is_bit()) return modbus_bit(answer, 0) ? 1.0 : 0.0;
  const std::array<std::uint16_t, 2> words{modbus_word(answer, 0), modbus_word(answer, 1)};
  return read_register(field.type, field.order, words) * field.scale + field.offset;
}

Result<std::string> serial_number(const IdentityRule& rule, std::string_view answer) {
  std::string serial;
  if (rule.serial) {
    std::array<char, 48> room;
    serial = std::string(write_scpi_number(field_value(*rule.serial, answer), 0, room));
    if (serial == "0" || is_all_ones(answer, register_count(rule.serial->type))) serial.clear();
  }
  for (std::size_t i = 0; i < static_cast<std::size_t>(rule.serial_words); ++i) {
    const std::uint16_t word = modbus_word(answer, i);
    serial += static_cast<char>(word >> 8);
    serial += static_cast<char>(word & 0xFF);
  }
  while (!serial.empty() && (serial.back() == ' ' || serial.back() == '\0')) serial.pop_back();
  if (serial.empty() || !is_text(serial)) {
    return fail(Errc::garbled, "the unit states no serial number where the profile expects one",
                "identity.serial",
                "correct the address, type or words in the profile, or leave `serial` out");
  }
  return serial;
}

Switch output_switch(const OutputBank& bank, int output) {
  Switch one;
  one.settle = bank.settle;
  one.meaning = bank.meaning;
  if (!bank.field) {
    one.on = with_number(bank.on, output + bank.first);
    one.off = with_number(bank.off, output + bank.first);
    one.ask = with_number(bank.ask, output + bank.first);
    return one;
  }
  RegisterField field = *bank.field;
  field.at += output;
  one.on = write_message(field, 1.0).value_or("");
  one.off = write_message(field, 0.0).value_or("");
  one.ask = read_message(field);
  one.field = field;
  return one;
}

std::string shown_message(std::string_view message) {
  return is_text(message) ? std::string(message) : describe_modbus(message);
}

std::string shown_answer(std::string_view answer) {
  if (is_text(answer)) return std::string(answer);
  constexpr std::string_view digits = "0123456789ABCDEF";
  std::string text;
  for (const char byte : answer) {
    const auto code = static_cast<unsigned char>(byte);
    if (!text.empty()) text.push_back(' ');
    text.push_back(digits[code >> 4U]);
    text.push_back(digits[code & 15U]);
  }
  return text;
}

}  // namespace leadwright
