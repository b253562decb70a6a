// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/modbus_server.h"

#include "protocol/modbus_bytes.h"
#include "protocol/modbus_frames.h"

namespace leadwright {

namespace {

constexpr std::size_t rtu_frame_max = 256;
constexpr std::size_t rtu_frame_min = 4;
constexpr std::size_t crc_size = 2;
constexpr std::size_t mbap_size = 7;
constexpr std::size_t mbap_length_covers_from = 6;
constexpr int mbap_length_max = 254;
constexpr int unit_alone = 255;
constexpr char gateway_target_silent = 0x0B;

/// Length of the request frame that begins so; 0 while it can't be known. A function that nobody has is as
/// long as what came.
std::size_t rtu_request_size(std::string_view begun) {
  if (begun.size() < 2) return 0;
  const int function = byte_at(begun, 1);
  if (function >= 1 && function <= 6) return 8;
  if (function == 15 || function == 16) {
    return begun.size() < 7 ? 0 : 9 + static_cast<std::size_t>(byte_at(begun, 6));
  }
  if (function == 23) return begun.size() < 11 ? 0 : 13 + static_cast<std::size_t>(byte_at(begun, 10));
  return begun.size();
}

bool is_known(std::string_view frame) {
  const int function = byte_at(frame, 1);
  return (function >= 1 && function <= 6) || function == 15 || function == 16 || function == 23;
}

bool has_right_crc(std::string_view frame) {
  const std::string_view checked = frame.substr(0, frame.size() - crc_size);
  const unsigned crc = modbus_crc(checked);
  return byte_at(frame, checked.size()) == static_cast<int>(crc & 0xFFU) &&
         byte_at(frame, checked.size() + 1) == static_cast<int>(crc >> 8U);
}

bool is_write(std::string_view pdu) {
  const int function = byte_at(pdu, 0);
  return function == 5 || function == 6 || function == 15 || function == 16;
}

}  // namespace

void ModbusServer::exchange(std::string_view bytes, std::string& answers) {
  if (framing_ == Framing::rtu) {
    exchange_rtu(bytes, answers);
  } else {
    exchange_tcp(bytes, answers);
  }
}

void ModbusServer::connected() {
  input_.clear();
  is_deaf_ = false;
}

/// Takes the bytes unless it is deaf to them.
bool ModbusServer::hears(std::string_view bytes) {
  const Instant now = bench_.now();
  const bool was_silent = (now - heard_at_) / bench_.scale() >= silence_;
  if (was_silent && (is_deaf_ || framing_ == Framing::rtu)) connected();
  heard_at_ = now;
  if (!is_deaf_) input_ += bytes;
  return !is_deaf_;
}

void ModbusServer::exchange_rtu(std::string_view bytes, std::string& answers) {
  if (!hears(bytes)) return;
  std::string_view left = input_;
  while (!left.empty() && !is_deaf_) {
    const std::size_t size = rtu_request_size(left);
    if (size == 0 || left.size() < size || size < rtu_frame_min) break;
    const std::string_view frame = left.substr(0, size);
    if (has_right_crc(frame)) {
      serve_rtu(frame, answers);
    } else if (is_known(frame)) {
      is_deaf_ = true;
    } else {
      break;
    }
    left.remove_prefix(size);
  }
  is_deaf_ = is_deaf_ || left.size() > rtu_frame_max;
  input_.erase(0, is_deaf_ ? input_.size() : input_.size() - left.size());
}

void ModbusServer::serve_rtu(std::string_view frame, std::string& answers) {
  const int number = byte_at(frame, 0);
  const std::string_view pdu = frame.substr(1, frame.size() - 1 - crc_size);
  if (number == 0) return broadcast(pdu);
  ModbusStation* unit = station(number);
  if (!unit) return;
  pdu_.clear();
  unit->request(pdu, pdu_);
  if (!pdu_.empty()) append_rtu(answers, static_cast<std::uint8_t>(number), pdu_);
}

void ModbusServer::exchange_tcp(std::string_view bytes, std::string& answers) {
  if (!hears(bytes)) return;
  std::string_view left = input_;
  while (left.size() >= mbap_size) {
    const int protocol = byte_at(left, 2) << 8U | byte_at(left, 3);
    const int length = byte_at(left, 4) << 8U | byte_at(left, 5);
    if (protocol != 0 || length < 2 || length > mbap_length_max) {
      left = {};
      is_deaf_ = true;
      break;
    }
    const std::size_t size = mbap_length_covers_from + static_cast<std::size_t>(length);
    if (left.size() < size) break;
    serve_tcp(left.substr(0, size), answers);
    left.remove_prefix(size);
  }
  input_.erase(0, input_.size() - left.size());
}

void ModbusServer::serve_tcp(std::string_view frame, std::string& answers) {
  const auto transaction = static_cast<std::uint16_t>(byte_at(frame, 0) << 8U | byte_at(frame, 1));
  const int number = byte_at(frame, 6);
  const std::string_view pdu = frame.substr(mbap_size);
  const bool is_ours = units_.size() == 1 && (number == 0 || number == unit_alone);
  ModbusStation* unit = is_ours ? units_.front().station : station(number);
  pdu_.clear();
  if (unit) {
    unit->request(pdu, pdu_);
  } else if (number == 0) {
    broadcast(pdu);
  } else {
    pdu_ += static_cast<char>(static_cast<unsigned char>(pdu[0]) | 0x80U);
    pdu_ += gateway_target_silent;
  }
  if (!pdu_.empty()) append_mbap(answers, transaction, static_cast<std::uint8_t>(number), pdu_);
}

void ModbusServer::broadcast(std::string_view pdu) {
  if (!is_write(pdu)) return;
  for (const Unit& unit : units_) {
    pdu_.clear();
    unit.station->request(pdu, pdu_);
  }
  pdu_.clear();
}

ModbusStation* ModbusServer::station(int number) const {
  for (const Unit& unit : units_) {
    if (unit.number == number) return unit.station;
  }
  return nullptr;
}

}  // namespace leadwright
