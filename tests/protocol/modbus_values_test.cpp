// SPDX-License-Identifier: Apache-2.0
#include "protocol/modbus_values.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>

namespace leadwright {
namespace {

using Words = std::array<std::uint16_t, 2>;

constexpr WordOrder orders[] = {WordOrder::abcd, WordOrder::cdab, WordOrder::badc, WordOrder::dcba};
constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

/// The words that write_register gives; 16-bit types leave the second at 0.
Words written(RegisterType type, WordOrder order, double value) {
  const auto words = write_register(type, order, value);
  EXPECT_TRUE(words) << value;
  if (!words) return {};
  EXPECT_EQ(words->count, register_count(type)) << value;
  return words->words;
}

void expect_both_ways(RegisterType type, WordOrder order, double value, Words words) {
  EXPECT_EQ(written(type, order, value), words) << value;
  EXPECT_EQ(read_register(type, order, words), value);
}

TEST(ModbusValues, knows_types_and_orders_by_their_words) {
  EXPECT_EQ(register_type_of("u16"), RegisterType::u16);
  EXPECT_EQ(register_type_of("i16"), RegisterType::i16);
  EXPECT_EQ(register_type_of("u32"), RegisterType::u32);
  EXPECT_EQ(register_type_of("i32"), RegisterType::i32);
  EXPECT_EQ(register_type_of("f32"), RegisterType::f32);
  EXPECT_EQ(word_order_of("abcd"), WordOrder::abcd);
  EXPECT_EQ(word_order_of("cdab"), WordOrder::cdab);
  EXPECT_EQ(word_order_of("badc"), WordOrder::badc);
  EXPECT_EQ(word_order_of("dcba"), WordOrder::dcba);
}

TEST(ModbusValues, knows_no_other_words) {
  for (const char* word : {"", "U16", "f64", "u16 ", "float"}) EXPECT_FALSE(register_type_of(word)) << word;
  for (const char* word : {"", "ABCD", "abdc", "abc", "abcde"}) EXPECT_FALSE(word_order_of(word)) << word;
}

TEST(ModbusValues, knows_how_many_registers_a_type_takes) {
  EXPECT_EQ(register_count(RegisterType::u16), 1);
  EXPECT_EQ(register_count(RegisterType::i16), 1);
  EXPECT_EQ(register_count(RegisterType::u32), 2);
  EXPECT_EQ(register_count(RegisterType::i32), 2);
  EXPECT_EQ(register_count(RegisterType::f32), 2);
}

// 123456.0 = 47F12000 in the four orders: the vector of libmodbus's unit tests.
TEST(ModbusValues, puts_the_published_float_into_every_order) {
  expect_both_ways(RegisterType::f32, WordOrder::abcd, 123456.0, {0x47F1, 0x2000});
  expect_both_ways(RegisterType::f32, WordOrder::cdab, 123456.0, {0x2000, 0x47F1});
  expect_both_ways(RegisterType::f32, WordOrder::badc, 123456.0, {0xF147, 0x0020});
  expect_both_ways(RegisterType::f32, WordOrder::dcba, 123456.0, {0x0020, 0xF147});
}

// Captured between libmodbus 3.1.6 and pymodbus 3.0.0: 04 B0 09 F6 41 46 00 00.
TEST(ModbusValues, reads_the_registers_of_two_outside_peers) {
  EXPECT_EQ(read_register(RegisterType::u16, WordOrder::abcd, {0x04B0, 0}), 1200.0);
  EXPECT_EQ(read_register(RegisterType::u16, WordOrder::abcd, {0x09F6, 0}), 2550.0);
  EXPECT_EQ(read_register(RegisterType::f32, WordOrder::abcd, {0x4146, 0x0000}), 12.375);
}

TEST(ModbusValues, puts_a_long_integer_into_every_order) {
  for (const RegisterType type : {RegisterType::u32, RegisterType::i32}) {
    expect_both_ways(type, WordOrder::abcd, 0x12345678, {0x1234, 0x5678});
    expect_both_ways(type, WordOrder::cdab, 0x12345678, {0x5678, 0x1234});
    expect_both_ways(type, WordOrder::badc, 0x12345678, {0x3412, 0x7856});
    expect_both_ways(type, WordOrder::dcba, 0x12345678, {0x7856, 0x3412});
  }
}

TEST(ModbusValues, swaps_the_bytes_of_a_single_word_where_the_order_says_so) {
  for (const RegisterType type : {RegisterType::u16, RegisterType::i16}) {
    expect_both_ways(type, WordOrder::abcd, 0x1234, {0x1234, 0});
    expect_both_ways(type, WordOrder::cdab, 0x1234, {0x1234, 0});
    expect_both_ways(type, WordOrder::badc, 0x1234, {0x3412, 0});
    expect_both_ways(type, WordOrder::dcba, 0x1234, {0x3412, 0});
  }
}

TEST(ModbusValues, does_not_look_at_the_word_behind_a_single_one) {
  for (const WordOrder order : orders) {
    EXPECT_EQ(read_register(RegisterType::u16, order, {0, 0xFFFF}), 0.0);
    EXPECT_EQ(read_register(RegisterType::i16, order, {0, 0xFFFF}), 0.0);
  }
}

TEST(ModbusValues, reads_negative_numbers_from_signed_types_only) {
  EXPECT_EQ(read_register(RegisterType::i16, WordOrder::abcd, {0xFFFF, 0}), -1.0);
  EXPECT_EQ(read_register(RegisterType::u16, WordOrder::abcd, {0xFFFF, 0}), 65535.0);
  EXPECT_EQ(read_register(RegisterType::i32, WordOrder::abcd, {0xFFFF, 0xFFFE}), -2.0);
  EXPECT_EQ(read_register(RegisterType::u32, WordOrder::abcd, {0xFFFF, 0xFFFE}), 4294967294.0);
}

TEST(ModbusValues, writes_the_ends_of_each_type_and_nothing_beyond) {
  struct Case {
    RegisterType type;
    double least;
    double most;
  };
  for (const auto [type, least, most] :
       {Case{RegisterType::u16, 0.0, 65535.0}, Case{RegisterType::i16, -32768.0, 32767.0},
        Case{RegisterType::u32, 0.0, 4294967295.0}, Case{RegisterType::i32, -2147483648.0, 2147483647.0}}) {
    for (const double value : {least, most}) {
      EXPECT_EQ(read_register(type, WordOrder::abcd, written(type, WordOrder::abcd, value)), value);
    }
    EXPECT_EQ(written(type, WordOrder::abcd, most + 0.4), written(type, WordOrder::abcd, most));
    EXPECT_EQ(written(type, WordOrder::abcd, least - 0.4), written(type, WordOrder::abcd, least));
    EXPECT_FALSE(write_register(type, WordOrder::abcd, most + 0.5)) << most;
    EXPECT_FALSE(write_register(type, WordOrder::abcd, least - 0.5)) << least;
  }
  constexpr double float_max = std::numeric_limits<float>::max();
  EXPECT_EQ(written(RegisterType::f32, WordOrder::abcd, float_max), (Words{0x7F7F, 0xFFFF}));
  EXPECT_FALSE(write_register(RegisterType::f32, WordOrder::abcd, std::nextafter(float_max, infinity)));
  EXPECT_FALSE(write_register(RegisterType::f32, WordOrder::abcd, -1e39));
}

TEST(ModbusValues, never_writes_what_is_no_finite_number) {
  for (const RegisterType type :
       {RegisterType::u16, RegisterType::i16, RegisterType::u32, RegisterType::i32, RegisterType::f32}) {
    for (const double value : {nothing, infinity, -infinity}) {
      EXPECT_FALSE(write_register(type, WordOrder::abcd, value)) << value;
    }
  }
}

// IEEE 754 binary32: exponent all ones.
TEST(ModbusValues, reads_missing_floats_as_they_are) {
  EXPECT_TRUE(std::isnan(read_register(RegisterType::f32, WordOrder::abcd, {0x7FC0, 0x0000})));
  EXPECT_TRUE(std::isnan(read_register(RegisterType::f32, WordOrder::dcba, {0x0000, 0xC07F})));
  EXPECT_EQ(read_register(RegisterType::f32, WordOrder::abcd, {0x7F80, 0x0000}), infinity);
  EXPECT_EQ(read_register(RegisterType::f32, WordOrder::cdab, {0x0000, 0xFF80}), -infinity);
}

TEST(ModbusValues, rounds_to_the_nearest_and_halves_away_from_zero) {
  EXPECT_EQ(written(RegisterType::u16, WordOrder::abcd, 1379.6)[0], 1380);
  EXPECT_EQ(written(RegisterType::u16, WordOrder::abcd, 1379.4)[0], 1379);
  EXPECT_EQ(written(RegisterType::u16, WordOrder::abcd, 0.5)[0], 1);
  EXPECT_EQ(written(RegisterType::u16, WordOrder::abcd, 2.5)[0], 3);
  EXPECT_EQ(written(RegisterType::i16, WordOrder::abcd, -2.5)[0], 0xFFFD);
  // 13.8 lies between 415CCCCC and 415CCCCD, nearer to the second.
  EXPECT_EQ(written(RegisterType::f32, WordOrder::abcd, 13.8), (Words{0x415C, 0xCCCD}));
}

TEST(ModbusValues, brings_every_single_word_back) {
  for (const RegisterType type : {RegisterType::u16, RegisterType::i16}) {
    for (const WordOrder order : orders) {
      for (unsigned word = 0; word <= 0xFFFF; ++word) {
        const Words words{static_cast<std::uint16_t>(word), 0};
        ASSERT_EQ(written(type, order, read_register(type, order, words)), words);
      }
    }
  }
}

TEST(ModbusValues, knows_how_far_off_a_written_value_may_be) {
  EXPECT_EQ(register_rounding(RegisterType::u16, 1e4), 0.5);
  EXPECT_EQ(register_rounding(RegisterType::i32, -7.0), 0.5);
  EXPECT_EQ(register_rounding(RegisterType::f32, 1.0), std::ldexp(1.0, -24));
  EXPECT_EQ(register_rounding(RegisterType::f32, -1.5), std::ldexp(1.0, -24));
  EXPECT_EQ(register_rounding(RegisterType::f32, 123456.0), std::ldexp(1.0, 16 - 24));
  EXPECT_EQ(register_rounding(RegisterType::f32, 0.0), std::ldexp(1.0, -150));
  EXPECT_EQ(register_rounding(RegisterType::f32, 1e-45), std::ldexp(1.0, -150));
  EXPECT_TRUE(std::isnan(register_rounding(RegisterType::f32, nothing)));
  EXPECT_TRUE(std::isnan(register_rounding(RegisterType::f32, infinity)));
}

TEST(ModbusValues, is_never_further_off_than_that) {
  const double halfway = 1.0 + std::ldexp(1.0, -24);
  EXPECT_EQ(halfway - read_register(RegisterType::f32, WordOrder::abcd,
                                    written(RegisterType::f32, WordOrder::abcd, halfway)),
            register_rounding(RegisterType::f32, halfway));
  for (const RegisterType type : {RegisterType::i32, RegisterType::f32}) {
    for (double value = 1e-3; value < 1e9; value *= 1.7) {
      for (const double signed_value : {value, -value}) {
        const double back =
            read_register(type, WordOrder::badc, written(type, WordOrder::badc, signed_value));
        EXPECT_LE(std::abs(back - signed_value), register_rounding(type, signed_value)) << signed_value;
      }
    }
  }
}

}  // namespace
}  // namespace leadwright
