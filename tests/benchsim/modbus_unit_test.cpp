// SPDX-License-Identifier: Apache-2.0
// The device's side of Modbus. Requests and answers in hexadecimal; "example" marks those of the Modbus
// application protocol specification V1.1b3, section 6 (shared/instruments.md, section 3).
#include "tools/benchsim/modbus_unit.h"

#include <gtest/gtest.h>

#include <map>

#include "tests/benchsim/hex.h"

namespace leadwright {
namespace {

/// Remembers whatever it has registers for.
class Memory final : public ModbusUnit {
 public:
  void coils(int from, int to) {
    for (int at = from; at <= to; ++at) {
      add_coil(
          at, [this, at] { return bits[at]; },
          [this, at](bool on) {
            bits[at] = on;
            return ModbusException::none;
          });
    }
  }
  void holdings(int from, int to) {
    for (int at = from; at <= to; ++at) {
      add_holding(
          at, [this, at] { return words[at]; },
          [this, at](std::uint16_t word) {
            if (word == refused) return ModbusException::value;
            words[at] = word;
            return ModbusException::none;
          });
    }
  }
  using ModbusUnit::add_discrete;
  using ModbusUnit::add_input;
  using ModbusUnit::add_input_f32;
  using ModbusUnit::add_scaled;

  std::string operator()(std::string_view request) {
    std::string answer;
    serve(from_hex(request), answer);
    return to_hex(answer);
  }

  static constexpr std::uint16_t refused = 0xDEAD;
  std::map<int, bool> bits;
  std::map<int, std::uint16_t> words;
};

TEST(ModbusUnit, reads_coils) {  // example
  Memory unit;
  unit.coils(0x13, 0x25);
  const std::string bits = "1011001111010110101";  // CD 6B 05, lowest first
  for (std::size_t i = 0; i < bits.size(); ++i) unit.bits[0x13 + static_cast<int>(i)] = bits[i] == '1';
  EXPECT_EQ(unit("01 0013 0013"), "01 03 CD 6B 05");
}

TEST(ModbusUnit, reads_discrete_inputs) {  // example
  Memory unit;
  const std::string bits = "0011010111011011101011";  // AC DB 35
  for (std::size_t i = 0; i < bits.size(); ++i) {
    unit.add_discrete(0xC4 + static_cast<int>(i), [on = bits[i] == '1'] { return on; });
  }
  EXPECT_EQ(unit("02 00C4 0016"), "02 03 AC DB 35");
}

TEST(ModbusUnit, reads_holding_registers) {  // example
  Memory unit;
  unit.holdings(0x6B, 0x6D);
  unit.words = {{0x6B, 0x022B}, {0x6C, 0}, {0x6D, 0x64}};
  EXPECT_EQ(unit("03 006B 0003"), "03 06 02 2B 00 00 00 64");
}

TEST(ModbusUnit, reads_input_registers) {  // example
  Memory unit;
  unit.add_input(8, [] { return std::uint16_t{0x0A}; });
  EXPECT_EQ(unit("04 0008 0001"), "04 02 00 0A");
}

TEST(ModbusUnit, writes_one_coil_and_one_register) {  // examples
  Memory unit;
  unit.coils(0xAC, 0xAC);
  unit.holdings(1, 1);
  EXPECT_EQ(unit("05 00AC FF00"), "05 00 AC FF 00");
  EXPECT_TRUE(unit.bits[0xAC]);
  EXPECT_EQ(unit("05 00AC 0000"), "05 00 AC 00 00");
  EXPECT_FALSE(unit.bits[0xAC]);
  EXPECT_EQ(unit("06 0001 0003"), "06 00 01 00 03");
  EXPECT_EQ(unit.words[1], 3);
}

TEST(ModbusUnit, writes_many_coils) {  // example
  Memory unit;
  unit.coils(0x13, 0x1C);
  EXPECT_EQ(unit("0F 0013 000A 02 CD01"), "0F 00 13 00 0A");
  EXPECT_EQ(unit("01 0013 000A"), "01 02 CD 01");
}

TEST(ModbusUnit, writes_many_registers) {  // example
  Memory unit;
  unit.holdings(1, 2);
  EXPECT_EQ(unit("10 0001 0002 04 000A 0102"), "10 00 01 00 02");
  EXPECT_EQ(unit.words[1], 0x000A);
  EXPECT_EQ(unit.words[2], 0x0102);
}

TEST(ModbusUnit, writes_before_it_reads_in_one_exchange) {  // example, but that here the ranges overlap
  Memory unit;
  unit.holdings(3, 0x10);
  unit.words[3] = 0x00FE;
  EXPECT_EQ(unit("17 0003 0006 0006 0003 06 00FF 00FF 00FF"), "17 0C 00 FE 00 00 00 00 00 FF 00 FF 00 FF");
}

TEST(ModbusUnit, knows_no_other_function) {
  Memory unit;
  EXPECT_EQ(unit("07"), "87 01");
  EXPECT_EQ(unit("2B 0E 01 00"), "AB 01");
}

TEST(ModbusUnit, refuses_addresses_that_it_does_not_have_and_writes_nothing_then) {
  Memory unit;
  unit.coils(0, 1);
  unit.holdings(0, 1);
  EXPECT_EQ(unit("01 0001 0002"), "81 02");
  EXPECT_EQ(unit("02 0000 0001"), "82 02");
  EXPECT_EQ(unit("03 0002 0001"), "83 02");
  EXPECT_EQ(unit("04 0000 0001"), "84 02");
  EXPECT_EQ(unit("05 0002 FF00"), "85 02");
  EXPECT_EQ(unit("06 0002 0000"), "86 02");
  EXPECT_EQ(unit("0F 0001 0002 01 03"), "8F 02");
  EXPECT_EQ(unit("10 0001 0002 04 0001 0002"), "90 02");
  EXPECT_EQ(unit("17 0000 0001 0002 0001 02 0001"), "97 02");
  EXPECT_EQ(unit("17 0001 0002 0000 0001 02 0001"), "97 02");
  EXPECT_EQ(unit("03 FFFF 0002"), "83 02");
  EXPECT_EQ(unit.words[1], 0);
  EXPECT_FALSE(unit.bits[1]);
}

TEST(ModbusUnit, refuses_malformed_requests) {
  Memory unit;
  unit.coils(0, 2100);
  unit.holdings(0, 130);
  EXPECT_EQ(unit("01 0000 0000"), "81 03");
  EXPECT_EQ(unit("01 0000 07D1"), "81 03");  // 2001 of 2000
  EXPECT_EQ(unit("01 0000 07D0").size(), 3U * 252 - 1);
  EXPECT_EQ(unit("03 0000 007E"), "83 03");  // 126 of 125
  EXPECT_EQ(unit("03 0000 007D").substr(0, 5), "03 FA");
  EXPECT_EQ(unit("03 0000"), "83 03");
  EXPECT_EQ(unit("05 0000 FF01"), "85 03");
  EXPECT_EQ(unit("0F 0000 0009 01 FF"), "8F 03");
  EXPECT_EQ(unit("10 0000 0002 02 0001"), "90 03");
  EXPECT_EQ(unit("10 0000 0001 02 00"), "90 03");
  EXPECT_EQ(unit("17 0000 0001 0000 0001 02"), "97 03");
  EXPECT_EQ(unit("06"), "86 03");
}

TEST(ModbusUnit, stops_at_the_first_value_that_it_can_not_take) {
  Memory unit;
  unit.holdings(0, 2);
  EXPECT_EQ(unit("10 0000 0003 06 0001 DEAD 0003"), "90 03");
  EXPECT_EQ(unit.words[0], 1);
  EXPECT_EQ(unit.words[2], 0);
}

TEST(ModbusUnit, keeps_the_words_of_a_number_together) {
  Memory unit;
  double next = 123455.0;
  unit.add_input_f32(100, [&next] { return next += 1.0; });
  unit.add_input_f32(102, [] { return 12.375; });
  EXPECT_EQ(unit("04 0064 0004"), "04 08 47 F1 20 00 41 46 00 00");  // 123456.0 and 12.375, abcd
  EXPECT_EQ(unit("04 0065 0001"), "04 02 20 80");
  EXPECT_EQ(unit("04 0063 0002"), "84 02");
}

TEST(ModbusUnit, shows_what_can_not_be_measured_as_not_a_number) {
  Memory unit;
  unit.add_input_f32(0, [] { return 9.9e37; });
  EXPECT_EQ(unit("04 0000 0002"), "04 04 7F C0 00 00");
}

TEST(ModbusUnit, scales_whole_steps_up_to_the_most) {
  Memory unit;
  double volts = 0.0;
  unit.add_scaled(
      10, 0.01, 18.0, [&volts] { return volts; }, [&volts](double value) { volts = value; });
  EXPECT_EQ(unit("06 000A 05A0"), "06 00 0A 05 A0");
  EXPECT_DOUBLE_EQ(volts, 14.4);
  EXPECT_EQ(unit("03 000A 0001"), "03 02 05 A0");
  EXPECT_EQ(unit("06 000A 0708"), "06 00 0A 07 08");
  EXPECT_EQ(unit("06 000A 0709"), "86 03");
  EXPECT_DOUBLE_EQ(volts, 18.0);
}

TEST(ModbusUnit, refuses_as_often_as_it_was_told_and_does_nothing_then) {
  Memory unit;
  unit.holdings(0, 0);
  unit.refuse(ModbusException::busy, 2);
  EXPECT_EQ(unit("06 0000 0001"), "86 06");
  EXPECT_EQ(unit("06 0000 0001"), "86 06");
  EXPECT_EQ(unit.words[0], 0);
  EXPECT_EQ(unit("06 0000 0001"), "06 00 00 00 01");
}

}  // namespace
}  // namespace leadwright
