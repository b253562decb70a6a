// SPDX-License-Identifier: Apache-2.0
// Numbers in registers: what is read can be written as the same words, what is written reads as the same
// number but for rounding, and an order only moves bytes. Input: type, order, two words, a double.
#include "protocol/modbus_values.h"

#include <bit>
#include <cmath>
#include <limits>

#include "tests/fuzz/modbus_input.h"

namespace leadwright {
namespace {

using Words = std::array<std::uint16_t, 2>;

/// The four bytes of abcd in another order: the letters are the positions.
Words moved(Words words, WordOrder order) {
  constexpr std::array<std::string_view, 4> letters{"abcd", "cdab", "badc", "dcba"};
  const std::array<unsigned, 4> bytes{words[0] / 256U, words[0] % 256U, words[1] / 256U, words[1] % 256U};
  const std::string_view places = letters.at(static_cast<std::size_t>(order));
  std::array<unsigned, 4> out{};
  for (std::size_t i = 0; i < 4; ++i) out[i] = bytes[static_cast<std::size_t>(places[i] - 'a')];
  return {static_cast<std::uint16_t>(out[0] << 8 | out[1]), static_cast<std::uint16_t>(out[2] << 8 | out[3])};
}

struct Range {
  double least;
  double most;
};

Range range_of(RegisterType type) {
  switch (type) {
    case RegisterType::u16:
      return {0.0, 65535.0};
    case RegisterType::i16:
      return {-32768.0, 32767.0};
    case RegisterType::u32:
      return {0.0, 4294967295.0};
    case RegisterType::i32:
      return {-2147483648.0, 2147483647.0};
    case RegisterType::f32:
      break;
  }
  return {-double{std::numeric_limits<float>::max()}, double{std::numeric_limits<float>::max()}};
}

void check_read(RegisterType type, WordOrder order, Words words) {
  const double value = read_register(type, order, words);
  const auto back = write_register(type, order, value);
  promise(back.has_value() == std::isfinite(value), "what was read can be written, unless it is missing");
  if (register_count(type) == 2) {
    const double plain = read_register(type, WordOrder::abcd, words);
    const double same = read_register(type, order, moved(words, order));
    promise(std::bit_cast<std::uint64_t>(plain) == std::bit_cast<std::uint64_t>(same) ||
                (std::isnan(plain) && std::isnan(same)),
            "an order moves the bytes as its letters say");
  }
  promise(std::isfinite(value) || type == RegisterType::f32, "an integer is always a number");
  if (!back) return;
  promise(value >= range_of(type).least && value <= range_of(type).most, "a number lies in its type's range");
  promise(back->count == register_count(type), "a number takes the registers of its type");
  promise(back->words[0] == words[0] && (back->count == 1 || back->words[1] == words[1]), "words come back");
}

void check_write(RegisterType type, WordOrder order, double value) {
  const auto words = write_register(type, order, value);
  const Range range = range_of(type);
  const double nearest = type == RegisterType::f32 ? value : std::round(value);
  promise(words.has_value() == (nearest >= range.least && nearest <= range.most), "a type holds its range");
  if (!words) return;
  const double back = read_register(type, order, words->words);
  promise(std::abs(back - value) <= register_rounding(type, value), "writing rounds to the nearest");
  const auto again = write_register(type, order, back);
  promise(again && again->words == words->words, "a rounded number stays as it is");
}

void check(Taken& input) {
  const auto type = static_cast<RegisterType>(input.byte() % 5);
  const auto order = static_cast<WordOrder>(input.byte() % 4);
  const Words words{static_cast<std::uint16_t>(input.word()), static_cast<std::uint16_t>(input.word())};
  check_read(type, order, words);
  std::uint64_t bits = 0;
  for (int i = 0; i < 4; ++i) bits = bits << 16 | input.word();
  const auto value = std::bit_cast<double>(bits);
  check_write(type, order, value);
  // Any bits are mostly far beyond every type: bring them near as well.
  check_write(type, order,
              std::ldexp(static_cast<double>(static_cast<std::int64_t>(bits)), -static_cast<int>(bits % 64)));
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return leadwright::check_input(data, size, leadwright::check);
}
