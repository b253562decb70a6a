// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/modbus_unit.h"

#include "protocol/modbus_bytes.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <utility>

namespace leadwright {

namespace {

constexpr double shown_max = 9.9e37;
constexpr std::size_t read_size = 5;
constexpr std::size_t write_head = 6;
constexpr std::size_t exchange_head = 10;
constexpr int coil_on_word = 0xFF00;
constexpr unsigned exception_bit = 0x80;
constexpr int addresses = 0x10000;

bool is_within(int count, int most) {
  return count >= 1 && count <= most;
}

}  // namespace

template <class Cell>
void ModbusUnit::insert(std::vector<Cell>& cells, Cell cell) {
  const auto after = [](int at, const Cell& each) { return at < each.at; };
  cells.insert(std::upper_bound(cells.begin(), cells.end(), cell.at, after), std::move(cell));
}

template <class Cell>
Cell* ModbusUnit::find(std::vector<Cell>& cells, int at) {
  const auto before = [](const Cell& each, int address) { return each.at < address; };
  auto found = std::lower_bound(cells.begin(), cells.end(), at, before);
  if (found != cells.end() && found->at == at) return &*found;
  if constexpr (requires(Cell cell) { cell.words; }) {
    if (found != cells.begin() && (--found)->at + found->words > at) return &*found;
  }
  return nullptr;
}

void ModbusUnit::add_coil(int at, ReadBit read, WriteBit write) {
  insert(coils_, Bit{at, std::move(read), std::move(write)});
}

void ModbusUnit::add_discrete(int at, ReadBit read) {
  insert(discretes_, Bit{at, std::move(read), {}});
}

void ModbusUnit::add_holding(int at, ReadWord read, WriteWord write) {
  insert(holdings_, Register{at, 1, std::move(read), std::move(write)});
}

void ModbusUnit::add_input(int at, ReadWord read) {
  insert(inputs_, Register{at, 1, std::move(read), {}});
}

void ModbusUnit::add_input_f32(int at, std::function<double()> read) {
  const auto bits = [read = std::move(read)] {
    const double value = read();
    const float shown =
        std::abs(value) >= shown_max ? std::numeric_limits<float>::quiet_NaN() : static_cast<float>(value);
    return std::bit_cast<std::uint32_t>(shown);
  };
  insert(inputs_, Register{at, 2, bits, {}});
}

void ModbusUnit::add_scaled(int at, double step, double most, std::function<double()> read,
                            std::function<void(double)> write) {
  const double steps_max = std::round(most / step);
  add_holding(
      at, [step, read = std::move(read)] { return static_cast<std::uint16_t>(std::lround(read() / step)); },
      [step, steps_max, write = std::move(write)](std::uint16_t steps) {
        if (steps > steps_max) return ModbusException::value;
        write(steps * step);
        return ModbusException::none;
      });
}

void ModbusUnit::refuse(ModbusException exception, int times) {
  refusal_ = exception;
  refusals_ = times;
}

void ModbusUnit::serve(std::string_view request, std::string& answer) {
  if (request.empty()) return;
  const std::size_t start = answer.size();
  auto exception = refusal_;
  if (refusals_ > 0) {
    --refusals_;
  } else {
    begin_request();
    exception = carry_out(request, answer);
  }
  if (exception == ModbusException::none) return;
  answer.resize(start);
  answer += static_cast<char>(static_cast<unsigned char>(request[0]) | exception_bit);
  answer += static_cast<char>(exception);
}

ModbusException ModbusUnit::carry_out(std::string_view request, std::string& answer) {
  switch (byte_at(request, 0)) {
    case 1:
      return read_bits(coils_, request, answer);
    case 2:
      return read_bits(discretes_, request, answer);
    case 3:
    case 4: {
      if (request.size() != read_size) return ModbusException::value;
      answer += request[0];
      auto& registers = byte_at(request, 0) == 3 ? holdings_ : inputs_;
      return read_words(registers, word_at(request, 1), word_at(request, 3), answer);
    }
    case 5:
    case 6:
      return write_one(request, answer);
    case 15:
      return write_bits(request, answer);
    case 16:
      return write_many(request, answer);
    case 23:
      return exchange_words(request, answer);
    default:
      return ModbusException::function;
  }
}

ModbusException ModbusUnit::read_bits(std::vector<Bit>& bits, std::string_view request, std::string& answer) {
  if (request.size() != read_size) return ModbusException::value;
  const int at = word_at(request, 1);
  const int count = word_at(request, 3);
  if (!is_within(count, modbus_read_bits_max)) return ModbusException::value;
  answer += request[0];
  answer += static_cast<char>((count + 7) / 8);
  const std::size_t start = answer.size();
  answer.append(static_cast<std::size_t>(count + 7) / 8, '\0');
  for (int i = 0; i < count; ++i) {
    const Bit* bit = find(bits, at + i);
    if (!bit) return ModbusException::address;
    if (!bit->read()) continue;
    char& byte = answer[start + static_cast<std::size_t>(i / 8)];
    byte = static_cast<char>(static_cast<unsigned char>(byte) | 1U << static_cast<unsigned>(i % 8));
  }
  return ModbusException::none;
}

ModbusException ModbusUnit::read_words(std::vector<Register>& registers, int at, int count,
                                       std::string& answer) {
  if (!is_within(count, modbus_read_words_max)) return ModbusException::value;
  answer += static_cast<char>(count * 2);
  const int end = at + count;
  while (at < end) {
    const Register* found = find(registers, at);
    if (!found) return ModbusException::address;
    const std::uint32_t value = found->read();
    for (; at < end && at < found->at + found->words; ++at) {
      const int lower_words = found->at + found->words - 1 - at;
      append_word(answer, value >> (16U * static_cast<unsigned>(lower_words)) & 0xFFFFU);
    }
  }
  return ModbusException::none;
}

ModbusException ModbusUnit::write_one(std::string_view request, std::string& answer) {
  if (request.size() != read_size) return ModbusException::value;
  const int at = word_at(request, 1);
  const int value = word_at(request, 3);
  auto exception = ModbusException::address;
  if (byte_at(request, 0) == 5) {
    if (value != 0 && value != coil_on_word) return ModbusException::value;
    const Bit* coil = find(coils_, at);
    if (coil) exception = coil->write(value == coil_on_word);
  } else {
    const Register* holding = find(holdings_, at);
    if (holding) exception = holding->write(static_cast<std::uint16_t>(value));
  }
  answer += request;
  return exception;
}

ModbusException ModbusUnit::write_bits(std::string_view request, std::string& answer) {
  if (request.size() <= write_head) return ModbusException::value;
  const int at = word_at(request, 1);
  const int count = word_at(request, 3);
  const std::size_t size = (static_cast<std::size_t>(count) + 7) / 8;
  const bool is_whole = byte_at(request, 5) == static_cast<int>(size) && request.size() == write_head + size;
  if (!is_within(count, modbus_write_bits_max) || !is_whole) return ModbusException::value;
  for (int i = 0; i < count; ++i) {
    if (!find(coils_, at + i)) return ModbusException::address;
  }
  for (int i = 0; i < count; ++i) {
    const int byte = byte_at(request, write_head + static_cast<std::size_t>(i / 8));
    const auto exception = find(coils_, at + i)->write((byte >> (i % 8) & 1) != 0);
    if (exception != ModbusException::none) return exception;
  }
  answer += request.substr(0, read_size);
  return ModbusException::none;
}

ModbusException ModbusUnit::write_words(int at, std::string_view bytes) {
  const int count = static_cast<int>(bytes.size() / 2);
  for (int i = 0; i < count; ++i) {
    if (at + i >= addresses || !find(holdings_, at + i)) return ModbusException::address;
  }
  for (int i = 0; i < count; ++i) {
    const auto word = static_cast<std::uint16_t>(word_at(bytes, static_cast<std::size_t>(i) * 2));
    const auto exception = find(holdings_, at + i)->write(word);
    if (exception != ModbusException::none) return exception;
  }
  return ModbusException::none;
}

ModbusException ModbusUnit::write_many(std::string_view request, std::string& answer) {
  if (request.size() <= write_head) return ModbusException::value;
  const int count = word_at(request, 3);
  const std::size_t size = static_cast<std::size_t>(count) * 2;
  const bool is_whole = byte_at(request, 5) == static_cast<int>(size) && request.size() == write_head + size;
  if (!is_within(count, modbus_write_words_max) || !is_whole) return ModbusException::value;
  answer += request.substr(0, read_size);
  return write_words(word_at(request, 1), request.substr(write_head));
}

ModbusException ModbusUnit::exchange_words(std::string_view request, std::string& answer) {
  if (request.size() <= exchange_head) return ModbusException::value;
  const int read_at = word_at(request, 1);
  const int read_count = word_at(request, 3);
  const int count = word_at(request, 7);
  const std::size_t size = static_cast<std::size_t>(count) * 2;
  const bool is_whole =
      byte_at(request, 9) == static_cast<int>(size) && request.size() == exchange_head + size;
  if (!is_within(read_count, modbus_read_words_max) || !is_within(count, modbus_exchange_write_words_max) ||
      !is_whole) {
    return ModbusException::value;
  }
  for (int i = 0; i < read_count; ++i) {
    if (!find(holdings_, read_at + i)) return ModbusException::address;
  }
  const auto written = write_words(word_at(request, 5), request.substr(exchange_head));
  if (written != ModbusException::none) return written;
  answer += request[0];
  return read_words(holdings_, read_at, read_count, answer);
}

}  // namespace leadwright
