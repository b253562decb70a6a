// SPDX-License-Identifier: Apache-2.0
#include "protocol/modbus.h"

#include <algorithm>

#include "protocol/modbus_bytes.h"

namespace leadwright {

namespace {

constexpr std::uint8_t read_coils = 1;
constexpr std::uint8_t read_discretes = 2;
constexpr std::uint8_t read_holdings = 3;
constexpr std::uint8_t read_inputs = 4;
constexpr std::uint8_t write_coil = 5;
constexpr std::uint8_t write_holding = 6;
constexpr std::uint8_t write_coils = 15;
constexpr std::uint8_t write_holdings = 16;
constexpr std::uint8_t exchange_holdings = 23;

constexpr std::uint8_t exception_bit = 0x80;
constexpr std::size_t exception_size = 2;
constexpr std::size_t write_answer_size = 5;
constexpr std::size_t read_answer_head = 2;
constexpr int addresses = 65536;
constexpr unsigned coil_on = 0xFF00;

std::uint8_t function_of(std::string_view pdu) {
  return byte_at(pdu, 0);
}

bool reads_bits(std::uint8_t function) {
  return function == read_coils || function == read_discretes;
}

bool reads_words(std::uint8_t function) {
  return function == read_holdings || function == read_inputs || function == exchange_holdings;
}

bool only_writes(std::uint8_t function) {
  return function == write_coil || function == write_holding || function == write_coils ||
         function == write_holdings;
}

std::size_t bytes_for_bits(std::size_t bits) {
  return (bits + 7) / 8;
}

std::string counted(std::size_t count, const char* noun) {
  return std::to_string(count).append(" ").append(noun).append(count == 1 ? "" : "s");
}

Result<void> check_reach(int at, std::size_t count, int count_max, const char* noun) {
  if (count < 1 || count > static_cast<std::size_t>(count_max)) {
    return fail(Errc::bad_input, counted(count, noun).append(" in one request"), {},
                std::string("1 to ").append(std::to_string(count_max)));
  }
  if (at < 0 || at > addresses - static_cast<int>(count)) {
    return fail(Errc::bad_input, counted(count, noun).append(" at address ").append(std::to_string(at)), {},
                "addresses are 0 to 65535");
  }
  return {};
}

std::size_t size_of(int count) {
  return static_cast<std::size_t>(std::max(count, 0));
}

void append_head(std::string& pdu, std::uint8_t function, int at, std::size_t second) {
  append_byte(pdu, function);
  append_word(pdu, static_cast<unsigned>(at));
  append_word(pdu, static_cast<unsigned>(second));
}

void append_words(std::string& pdu, std::span<const std::uint16_t> words) {
  append_byte(pdu, static_cast<unsigned>(words.size() * 2));
  for (const std::uint16_t value : words) append_word(pdu, value);
}

/// Bytes of data in the right answer to a read; 0 for any other request.
std::size_t data_size(std::string_view request) {
  const std::size_t count = word_at(request, 3);
  if (reads_bits(function_of(request))) return bytes_for_bits(count);
  return reads_words(function_of(request)) ? count * 2 : 0;
}

/// Bytes of data that an answer to a read really has.
std::size_t data_held(std::string_view answer) {
  const std::size_t there = answer.size() - std::min(answer.size(), read_answer_head);
  return std::min<std::size_t>(byte_at(answer, 1), there);
}

struct Exception {
  std::uint8_t number;
  Errc code;
  const char* words;
};

// Modbus application protocol V1.1b3, section 7.
constexpr Exception exceptions[] = {
    {0x01, Errc::unsupported, "the unit has no such function"},
    {0x02, Errc::unsupported, "the unit has no such address"},
    {0x03, Errc::unsupported, "the unit does not take that value or count"},
    {0x04, Errc::io, "the unit failed"},
    {0x05, Errc::busy, "accepted, but not done yet"},
    {0x06, Errc::busy, "the unit is busy"},
    {0x08, Errc::io, "the unit's memory is damaged"},
    {0x0A, Errc::io, "the gateway has no path to the unit"},
    {0x0B, Errc::busy, "the unit behind the gateway does not answer"},
};

tl::unexpected<Error> refusal(std::string_view request, std::uint8_t number) {
  const auto* const known = std::find_if(std::begin(exceptions), std::end(exceptions),
                                         [&](const Exception& each) { return each.number == number; });
  const bool is_known = known != std::end(exceptions);
  const Errc code = is_known ? known->code : Errc::io;
  std::string what = describe_modbus(request);
  what.append(": exception ").append(std::to_string(number)).append(", ");
  what.append(is_known ? known->words : "which the standard does not name");
  return fail(code, std::move(what), {},
              code == Errc::unsupported ? "compare the profile with the unit's list of registers" : "");
}

tl::unexpected<Error> garbled(std::string_view request, const char* what) {
  return fail(Errc::garbled, describe_modbus(request).append(": ").append(what));
}

std::string described(const char* verb, ModbusSpace space, unsigned at, std::size_t count) {
  const bool of_bits = space == ModbusSpace::coil || space == ModbusSpace::discrete;
  return std::string(verb)
      .append(" ")
      .append(word(space))
      .append(" ")
      .append(std::to_string(at))
      .append(std::string(", ").append(counted(count, of_bits ? "bit" : "word")));
}

}  // namespace

const char* word(ModbusSpace space) {
  switch (space) {
    case ModbusSpace::coil:
      return "coil";
    case ModbusSpace::discrete:
      return "discrete";
    case ModbusSpace::holding:
      return "holding";
    case ModbusSpace::input:
      return "input";
  }
  return "input";
}

Result<void> append_modbus_read(std::string& pdu, ModbusSpace space, int at, int count) {
  const bool of_bits = space == ModbusSpace::coil || space == ModbusSpace::discrete;
  const int count_max = of_bits ? modbus_read_bits_max : modbus_read_words_max;
  auto reached = check_reach(at, size_of(count), count_max, of_bits ? "bit" : "word");
  if (!reached) return reached;
  const std::uint8_t function = space == ModbusSpace::coil       ? read_coils
                                : space == ModbusSpace::discrete ? read_discretes
                                : space == ModbusSpace::holding  ? read_holdings
                                                                 : read_inputs;
  append_head(pdu, function, at, size_of(count));
  return {};
}

Result<void> append_modbus_write(std::string& pdu, ModbusSpace space, int at, std::uint16_t value) {
  const bool to_coil = space == ModbusSpace::coil;
  if (!to_coil && space != ModbusSpace::holding) {
    return fail(Errc::bad_input, std::string("write to ").append(word(space)), {},
                "only coil and holding can be written");
  }
  if (to_coil && value > 1) {
    return fail(Errc::bad_input, std::string("coil = ").append(std::to_string(value)), {}, "0 or 1");
  }
  auto reached = check_reach(at, 1, 1, to_coil ? "bit" : "word");
  if (!reached) return reached;
  append_head(pdu, to_coil ? write_coil : write_holding, at, to_coil ? value * coil_on : value);
  return {};
}

Result<void> append_modbus_write_words(std::string& pdu, int at, std::span<const std::uint16_t> words) {
  auto reached = check_reach(at, words.size(), modbus_write_words_max, "word");
  if (!reached) return reached;
  append_head(pdu, write_holdings, at, words.size());
  append_words(pdu, words);
  return {};
}

Result<void> append_modbus_write_bits(std::string& pdu, int at, std::span<const bool> bits) {
  auto reached = check_reach(at, bits.size(), modbus_write_bits_max, "bit");
  if (!reached) return reached;
  append_head(pdu, write_coils, at, bits.size());
  append_byte(pdu, static_cast<unsigned>(bytes_for_bits(bits.size())));
  for (std::size_t from = 0; from < bits.size(); from += 8) {
    const auto eight = bits.subspan(from, std::min<std::size_t>(8, bits.size() - from));
    unsigned packed = 0;
    for (std::size_t i = 0; i < eight.size(); ++i) packed |= static_cast<unsigned>(eight[i]) << i;
    append_byte(pdu, packed);
  }
  return {};
}

Result<void> append_modbus_exchange(std::string& pdu, int read_at, int read_count, int write_at,
                                    std::span<const std::uint16_t> words) {
  auto reached = check_reach(read_at, size_of(read_count), modbus_read_words_max, "word");
  if (!reached) return reached;
  reached = check_reach(write_at, words.size(), modbus_exchange_write_words_max, "word");
  if (!reached) return reached;
  append_head(pdu, exchange_holdings, read_at, size_of(read_count));
  append_word(pdu, static_cast<unsigned>(write_at));
  append_word(pdu, static_cast<unsigned>(words.size()));
  append_words(pdu, words);
  return {};
}

std::size_t modbus_answer_size(std::string_view request, std::string_view answer_so_far) noexcept {
  if (request.empty() || answer_so_far.empty()) return 0;
  const std::uint8_t function = function_of(request);
  if (function_of(answer_so_far) == (function | exception_bit)) return exception_size;
  if (function_of(answer_so_far) != function) return 0;
  if (only_writes(function)) return write_answer_size;
  const std::size_t data = data_size(request);
  const bool is_right =
      data > 0 && (answer_so_far.size() < read_answer_head || byte_at(answer_so_far, 1) == data);
  return is_right ? read_answer_head + data : 0;
}

Result<void> check_modbus_answer(std::string_view request, std::string_view answer) {
  const std::size_t size = modbus_answer_size(request, answer);
  if (size == 0) return garbled(request, "the answer has another function or byte count");
  if (answer.size() != size) return garbled(request, "the answer has another length");
  if (function_of(answer) != function_of(request)) return refusal(request, byte_at(answer, 1));
  if (only_writes(function_of(request)) && answer != request.substr(0, write_answer_size)) {
    return garbled(request, "the unit repeats another address, value or count");
  }
  return {};
}

std::uint16_t modbus_word(std::string_view answer, std::size_t index) noexcept {
  return index < modbus_words(answer) ? word_at(answer, read_answer_head + index * 2) : std::uint16_t{0};
}

bool modbus_bit(std::string_view answer, std::size_t index) noexcept {
  return index < modbus_bits(answer) && (byte_at(answer, read_answer_head + index / 8) >> index % 8 & 1) != 0;
}

std::size_t modbus_words(std::string_view answer) noexcept {
  return reads_words(function_of(answer)) ? data_held(answer) / 2 : 0;
}

std::size_t modbus_bits(std::string_view answer) noexcept {
  return reads_bits(function_of(answer)) ? data_held(answer) * 8 : 0;
}

std::string describe_modbus(std::string_view request) {
  const unsigned at = word_at(request, 1);
  const std::size_t second = word_at(request, 3);
  switch (function_of(request)) {
    case read_coils:
      return described("read", ModbusSpace::coil, at, second);
    case read_discretes:
      return described("read", ModbusSpace::discrete, at, second);
    case read_holdings:
      return described("read", ModbusSpace::holding, at, second);
    case read_inputs:
      return described("read", ModbusSpace::input, at, second);
    case write_coil:
      return described("write", ModbusSpace::coil, at, 1);
    case write_holding:
      return described("write", ModbusSpace::holding, at, 1);
    case write_coils:
      return described("write", ModbusSpace::coil, at, second);
    case write_holdings:
      return described("write", ModbusSpace::holding, at, second);
    case exchange_holdings:
      return described("write", ModbusSpace::holding, word_at(request, 5), word_at(request, 7))
          .append(" and ")
          .append(described("read", ModbusSpace::holding, at, second));
    default:
      return std::string("function ").append(std::to_string(function_of(request)));
  }
}

}  // namespace leadwright
