// SPDX-License-Identifier: Apache-2.0
#include "protocol/modbus_frames.h"

#include <array>

#include "protocol/modbus.h"
#include "protocol/modbus_bytes.h"

namespace leadwright {

namespace {

constexpr std::uint8_t everybody = 0;
constexpr std::size_t crc_size = 2;
constexpr std::size_t rtu_around = 1 + crc_size;

constexpr std::size_t mbap_size = 7;
constexpr std::size_t length_end = 6;  // the length counts what follows it: unit and PDU
constexpr std::size_t length_min = 2;
constexpr std::size_t length_max = 1 + modbus_pdu_max;

constexpr int baud_of_fixed_silence = 19200;
constexpr double silence_characters = 3.5;
constexpr double silence_fixed_s = 0.00175;

constexpr auto crc_of_byte = [] {
  std::array<std::uint16_t, 256> table{};
  for (unsigned byte = 0; byte < table.size(); ++byte) {
    unsigned crc = byte;
    for (int bit = 0; bit < 8; ++bit) crc = crc >> 1 ^ ((crc & 1) != 0 ? 0xA001U : 0U);
    table[byte] = static_cast<std::uint16_t>(crc);
  }
  return table;
}();

std::uint16_t crc_on(std::uint16_t crc, std::string_view bytes) {
  for (const char c : bytes) {
    crc = static_cast<std::uint16_t>(crc >> 8 ^ crc_of_byte[(crc ^ static_cast<unsigned char>(c)) & 0xFF]);
  }
  return crc;
}

ModbusHeard garbled(const char* why) {
  return {ModbusHeard::Kind::garbled, {}, why};
}

/// Whether `came` is the RTU frame of `request`, as far as it goes and no further than that frame.
bool repeats_request(std::string_view came, std::uint8_t unit, std::string_view request) {
  const char head = static_cast<char>(unit);
  const std::uint16_t crc = crc_on(modbus_crc({&head, 1}), request);
  const char tail[crc_size] = {static_cast<char>(crc & 0xFF), static_cast<char>(crc >> 8)};
  for (const std::string_view part :
       {std::string_view(&head, 1), request, std::string_view(tail, crc_size)}) {
    if (!part.starts_with(came.substr(0, part.size()))) return false;
    if (came.size() <= part.size()) return true;
    came.remove_prefix(part.size());
  }
  return true;
}

/// Null while the bytes can still be a frame, else what is wrong.
const char* header_mistake(std::string_view frame) {
  if (byte_at(frame, 2) != 0 || byte_at(frame, 3) != 0) return "no frame of Modbus: another protocol number";
  if (byte_at(frame, 4) != 0) return "no frame of Modbus: too long";
  if (frame.size() < length_end) return nullptr;
  const std::size_t length = byte_at(frame, 5);
  return length < length_min || length > length_max ? "no frame of Modbus: impossible length" : nullptr;
}

ModbusHeard hear_own_frame(std::string_view frame, std::uint8_t unit, std::string_view request) {
  if (frame.size() < mbap_size) return {};
  if (byte_at(frame, length_end) != unit) return garbled("another unit answered");
  const std::size_t pdu_size = std::size_t{byte_at(frame, 5)} - 1;
  const std::string_view pdu = frame.substr(mbap_size);
  if (pdu.empty()) return {};
  const std::size_t size = modbus_answer_size(request, pdu);
  if (size == 0) return garbled("the answer has another function or byte count");
  if (size != pdu_size) return garbled("the answer has another length");
  if (pdu.size() < size) return {};
  if (pdu.size() > size) return garbled("bytes after the answer");
  return {ModbusHeard::Kind::answer, pdu, ""};
}

}  // namespace

std::uint16_t modbus_crc(std::string_view bytes) noexcept {
  return crc_on(0xFFFF, bytes);
}

void append_rtu(std::string& wire, std::uint8_t unit, std::string_view pdu) {
  const std::size_t begin = wire.size();
  append_byte(wire, unit);
  wire.append(pdu);
  const std::uint16_t crc = modbus_crc(std::string_view(wire).substr(begin));
  append_byte(wire, crc & 0xFFU);
  append_byte(wire, static_cast<unsigned>(crc) >> 8);
}

void append_mbap(std::string& wire, std::uint16_t transaction, std::uint8_t unit, std::string_view pdu) {
  append_word(wire, transaction);
  append_word(wire, 0);
  append_word(wire, static_cast<unsigned>(pdu.size() + 1));
  append_byte(wire, unit);
  wire.append(pdu);
}

ModbusHeard hear_rtu(std::string_view came, std::uint8_t unit, std::string_view request, bool echo) noexcept {
  if (echo) {
    const std::size_t sent = request.size() + rtu_around;
    if (!repeats_request(came, unit, request)) return garbled("other bytes than were sent: a collision");
    if (came.size() < sent) return {};
    came.remove_prefix(sent);
  }
  if (came.empty()) return {};
  if (unit == everybody) return garbled("an answer to what everybody was told");
  if (byte_at(came, 0) != unit) return garbled("another unit answered");
  const std::string_view pdu = came.substr(1);
  if (pdu.empty()) return {};
  const std::size_t size = modbus_answer_size(request, pdu);
  if (size == 0) return garbled("the answer has another function or byte count");
  if (came.size() < size + rtu_around) return {};
  if (came.size() > size + rtu_around) return garbled("bytes after the answer");
  const std::uint16_t crc = modbus_crc(came.substr(0, came.size() - crc_size));
  // The check travels low byte first, unlike every other word.
  const bool is_sound =
      word_at(came, came.size() - crc_size) == static_cast<std::uint16_t>(crc << 8 | crc >> 8);
  if (!is_sound) return garbled("the check is wrong");
  return {ModbusHeard::Kind::answer, pdu.substr(0, size), ""};
}

ModbusHeard hear_mbap(std::string_view came, std::uint16_t transaction, std::uint8_t unit,
                      std::string_view request, std::size_t& foreign) noexcept {
  foreign = 0;
  for (;;) {
    const std::string_view frame = came.substr(foreign);
    if (const char* mistake = header_mistake(frame)) return garbled(mistake);
    if (frame.size() < length_end) return {};
    if (word_at(frame, 0) == transaction) return hear_own_frame(frame, unit, request);
    const std::size_t size = length_end + byte_at(frame, 5);
    if (frame.size() < size) return {};
    foreign += size;
  }
}

double rtu_silence_s(int baud, int bits_per_character) noexcept {
  if (baud > baud_of_fixed_silence) return silence_fixed_s;
  return silence_characters * bits_per_character / baud;
}

}  // namespace leadwright
