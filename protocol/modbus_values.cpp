// SPDX-License-Identifier: Apache-2.0
#include "protocol/modbus_values.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

namespace leadwright {

namespace {

// IEEE 754 binary32: 24 bits of significand, exponents from -126.
constexpr int float_digits = std::numeric_limits<float>::digits;
constexpr int float_exponent_min = std::numeric_limits<float>::min_exponent - 1;
constexpr double float_max = std::numeric_limits<float>::max();

using Words = std::array<std::uint16_t, 2>;

bool swaps_words(WordOrder order) {
  return order == WordOrder::cdab || order == WordOrder::dcba;
}

bool swaps_bytes(WordOrder order) {
  return order == WordOrder::badc || order == WordOrder::dcba;
}

std::uint16_t swapped(std::uint16_t word) {
  return static_cast<std::uint16_t>(word << 8 | word >> 8);
}

/// From the wire to abcd, and back: each order is its own inverse.
Words reordered(Words words, WordOrder order, int count) {
  if (swaps_bytes(order)) std::transform(words.begin(), words.end(), words.begin(), swapped);
  if (swaps_words(order) && count == 2) std::swap(words[0], words[1]);
  return words;
}

std::uint32_t long_of(Words words) {
  return std::uint32_t{words[0]} << 16 | words[1];
}

Words words_of(std::uint32_t bits) {
  return {static_cast<std::uint16_t>(bits >> 16), static_cast<std::uint16_t>(bits)};
}

template <class Integer>
std::optional<std::uint32_t> integer_bits(double value) {
  const double rounded = std::round(value);
  if (!(rounded >= std::numeric_limits<Integer>::min() && rounded <= std::numeric_limits<Integer>::max())) {
    return std::nullopt;
  }
  return static_cast<std::uint32_t>(static_cast<Integer>(rounded));
}

std::optional<std::uint32_t> bits_of(RegisterType type, double value) {
  switch (type) {
    case RegisterType::u16:
      return integer_bits<std::uint16_t>(value);
    case RegisterType::i16:
      return integer_bits<std::int16_t>(value);
    case RegisterType::u32:
      return integer_bits<std::uint32_t>(value);
    case RegisterType::i32:
      return integer_bits<std::int32_t>(value);
    case RegisterType::f32:
      if (!(std::abs(value) <= float_max)) return std::nullopt;
      return std::bit_cast<std::uint32_t>(static_cast<float>(value));
  }
  return std::nullopt;
}

}  // namespace

std::optional<RegisterType> register_type_of(std::string_view word) {
  if (word == "u16") return RegisterType::u16;
  if (word == "i16") return RegisterType::i16;
  if (word == "u32") return RegisterType::u32;
  if (word == "i32") return RegisterType::i32;
  if (word == "f32") return RegisterType::f32;
  return std::nullopt;
}

std::optional<WordOrder> word_order_of(std::string_view word) {
  if (word == "abcd") return WordOrder::abcd;
  if (word == "cdab") return WordOrder::cdab;
  if (word == "badc") return WordOrder::badc;
  if (word == "dcba") return WordOrder::dcba;
  return std::nullopt;
}

int register_count(RegisterType type) noexcept {
  return type == RegisterType::u16 || type == RegisterType::i16 ? 1 : 2;
}

double read_register(RegisterType type, WordOrder order, std::array<std::uint16_t, 2> words) noexcept {
  words = reordered(words, order, register_count(type));
  switch (type) {
    case RegisterType::u16:
      return words[0];
    case RegisterType::i16:
      return static_cast<std::int16_t>(words[0]);
    case RegisterType::u32:
      return long_of(words);
    case RegisterType::i32:
      return static_cast<std::int32_t>(long_of(words));
    case RegisterType::f32:
      return std::bit_cast<float>(long_of(words));
  }
  return std::numeric_limits<double>::quiet_NaN();
}

std::optional<RegisterWords> write_register(RegisterType type, WordOrder order, double value) noexcept {
  const auto bits = bits_of(type, value);
  if (!bits) return std::nullopt;
  const int count = register_count(type);
  const Words words = count == 2 ? words_of(*bits) : Words{static_cast<std::uint16_t>(*bits), 0};
  return RegisterWords{reordered(words, order, count), count};
}

double register_rounding(RegisterType type, double value) noexcept {
  if (type != RegisterType::f32) return 0.5;
  if (!std::isfinite(value)) return std::numeric_limits<double>::quiet_NaN();
  const int exponent = value == 0.0 ? float_exponent_min : std::max(std::ilogb(value), float_exponent_min);
  return std::ldexp(1.0, exponent - float_digits);
}

}  // namespace leadwright
