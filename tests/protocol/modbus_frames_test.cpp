// SPDX-License-Identifier: Apache-2.0
#include "protocol/modbus_frames.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "protocol/modbus.h"
#include "tests/protocol/modbus_examples.h"

namespace leadwright {
namespace {

using Heard = ModbusHeard::Kind;

std::string rtu(int unit, std::string_view pdu) {
  std::string wire;
  append_rtu(wire, static_cast<std::uint8_t>(unit), pdu);
  return wire;
}

std::string mbap(int transaction, int unit, std::string_view pdu) {
  std::string wire;
  append_mbap(wire, static_cast<std::uint16_t>(transaction), static_cast<std::uint8_t>(unit), pdu);
  return wire;
}

ModbusHeard hear_tcp(std::string_view came, std::string_view request) {
  std::size_t foreign = 0;
  return hear_mbap(came, 1, 1, request, foreign);
}

void expect_garbled(const ModbusHeard& heard, const std::string& why) {
  EXPECT_EQ(heard.kind, Heard::garbled) << why;
  EXPECT_STRNE(heard.why, "") << why;
  EXPECT_TRUE(heard.pdu.empty()) << why;
}

/// Incomplete at every boundary, then the answer; then, with a byte more, garbled.
template <class Hear>
void expect_grows_to(std::string_view wire, std::string_view answer, const char* name, const Hear& hear) {
  for (std::size_t length = 0; length < wire.size(); ++length) {
    const ModbusHeard heard = hear(wire.substr(0, length));
    EXPECT_EQ(heard.kind, Heard::incomplete) << name << ", " << length << " bytes: " << heard.why;
  }
  const ModbusHeard heard = hear(wire);
  ASSERT_EQ(heard.kind, Heard::answer) << name << ": " << heard.why;
  EXPECT_EQ(heard.pdu, answer) << name;
  expect_garbled(hear(std::string(wire).append(1, '\0')), name);
}

// MODBUS over serial line V1.02, 6.2.2, from memory: the frame 02 07 has the check 1241, sent as 41 12. 4B37
// for the nine digits is this CRC's published check value, computed once more by an outside program.
TEST(ModbusFrames, computes_the_published_checks) {
  EXPECT_EQ(modbus_crc(hex("02 07")), 0x1241);
  EXPECT_EQ(rtu(2, hex("07")), hex("02 07 41 12"));
  EXPECT_EQ(modbus_crc("123456789"), 0x4B37);
  EXPECT_EQ(modbus_crc(""), 0xFFFF);
}

TEST(ModbusFrames, frames_the_published_messages) {
  for (const ModbusExample& each : modbus_examples()) {
    EXPECT_EQ(rtu(1, each.request), '\x01' + each.request + each.request_crc) << each.name;
    EXPECT_EQ(rtu(1, each.answer), '\x01' + each.answer + each.answer_crc) << each.name;
  }
}

// 76 87 is also printed for unit 1, wrongly; both computed by an outside program.
TEST(ModbusFrames, checks_the_unit_as_well) {
  EXPECT_EQ(rtu(0x01, hex("03 00 6B 00 03")), hex("01 03 00 6B 00 03 74 17"));
  EXPECT_EQ(rtu(0x11, hex("03 00 6B 00 03")), hex("11 03 00 6B 00 03 76 87"));
}

// Captured between libmodbus 3.1.6 and pymodbus 3.0.0 over a pseudo-terminal.
TEST(ModbusFrames, speaks_as_two_outside_peers_on_a_serial_line) {
  std::string request;
  ASSERT_TRUE(append_modbus_read(request, ModbusSpace::holding, 0, 4));
  EXPECT_EQ(rtu(1, request), hex("01 03 00 00 00 04 44 09"));
  const std::string answer = hex("01 03 08 04 B0 09 F6 41 46 00 00 18 8A");
  const ModbusHeard heard = hear_rtu(answer, 1, request);
  ASSERT_EQ(heard.kind, Heard::answer) << heard.why;
  EXPECT_TRUE(check_modbus_answer(request, heard.pdu));
  EXPECT_EQ(modbus_word(heard.pdu, 0), 1200);
  EXPECT_EQ(modbus_word(heard.pdu, 1), 2550);

  request.clear();
  ASSERT_TRUE(append_modbus_read(request, ModbusSpace::holding, 5000, 1));
  EXPECT_EQ(rtu(1, request), hex("01 03 13 88 00 01 00 A4"));
  const std::string exception = hex("01 83 02 C0 F1");
  const ModbusHeard refused = hear_rtu(exception, 1, request);
  ASSERT_EQ(refused.kind, Heard::answer) << refused.why;
  EXPECT_EQ(check_modbus_answer(request, refused.pdu).error().code, Errc::unsupported);
}

// The same two over TCP.
TEST(ModbusFrames, speaks_as_two_outside_peers_over_tcp) {
  std::string request;
  ASSERT_TRUE(append_modbus_read(request, ModbusSpace::holding, 0, 4));
  EXPECT_EQ(mbap(1, 1, request), hex("00 01 00 00 00 06 01 03 00 00 00 04"));
  const std::string answer = hex("00 01 00 00 00 0B 01 03 08 04 B0 09 F6 41 46 00 00");
  const ModbusHeard heard = hear_tcp(answer, request);
  ASSERT_EQ(heard.kind, Heard::answer) << heard.why;
  EXPECT_EQ(modbus_word(heard.pdu, 2), 0x4146);

  std::size_t foreign = 0;
  const std::string exception = hex("00 08 00 00 00 03 01 83 02");
  const ModbusHeard refused = hear_mbap(exception, 8, 1, request, foreign);
  ASSERT_EQ(refused.kind, Heard::answer) << refused.why;
  EXPECT_EQ(refused.pdu, hex("83 02"));
}

TEST(ModbusFrames, waits_for_the_rest_of_an_answer_wherever_it_is_cut) {
  for (const ModbusExample& each : modbus_examples()) {
    expect_grows_to(rtu(1, each.answer), each.answer, each.name,
                    [&](std::string_view came) { return hear_rtu(came, 1, each.request); });
    expect_grows_to(mbap(1, 1, each.answer), each.answer, each.name,
                    [&](std::string_view came) { return hear_tcp(came, each.request); });
  }
}

TEST(ModbusFrames, waits_for_the_echo_first) {
  for (const ModbusExample& each : modbus_examples()) {
    expect_grows_to(rtu(1, each.request) + rtu(1, each.answer), each.answer, each.name,
                    [&](std::string_view came) { return hear_rtu(came, 1, each.request, true); });
  }
}

TEST(ModbusFrames, hears_the_longest_answers) {
  for (const ModbusSpace space : {ModbusSpace::coil, ModbusSpace::holding}) {
    const bool of_bits = space == ModbusSpace::coil;
    std::string request;
    ASSERT_TRUE(
        append_modbus_read(request, space, 0, of_bits ? modbus_read_bits_max : modbus_read_words_max));
    const std::string answer = hex(of_bits ? "01 FA" : "03 FA") + std::string(250, '\x55');
    expect_grows_to(rtu(1, answer), answer, word(space),
                    [&](std::string_view came) { return hear_rtu(came, 1, request); });
    expect_grows_to(mbap(1, 1, answer), answer, word(space),
                    [&](std::string_view came) { return hear_tcp(came, request); });
  }
}

// A CRC-16 finds every single wrong bit, and every pair of them in less than 32768 bits (its polynomial is
// x+1 times a primitive one of degree 15).
TEST(ModbusFrames, takes_no_answer_with_a_wrong_bit_or_two) {
  for (const ModbusExample& each : modbus_examples()) {
    const std::string wire = rtu(1, each.answer);
    for (std::size_t first = 0; first < wire.size() * 8; ++first) {
      for (std::size_t second = first; second < wire.size() * 8; ++second) {
        std::string flipped = wire;
        flipped[first / 8] = static_cast<char>(flipped[first / 8] ^ 1 << first % 8);
        if (second != first) flipped[second / 8] = static_cast<char>(flipped[second / 8] ^ 1 << second % 8);
        EXPECT_NE(hear_rtu(flipped, 1, each.request).kind, Heard::answer)
            << each.name << ", bits " << first << " and " << second;
      }
    }
  }
}

TEST(ModbusFrames, takes_no_long_answer_with_a_wrong_bit) {
  std::string request;
  ASSERT_TRUE(append_modbus_read(request, ModbusSpace::input, 0, modbus_read_words_max));
  const std::string wire = rtu(1, hex("04 FA") + std::string(250, '\xA5'));
  for (std::size_t bit = 0; bit < wire.size() * 8; ++bit) {
    std::string flipped = wire;
    flipped[bit / 8] = static_cast<char>(flipped[bit / 8] ^ 1 << bit % 8);
    EXPECT_NE(hear_rtu(flipped, 1, request).kind, Heard::answer) << "bit " << bit;
  }
}

TEST(ModbusFrames, gives_up_on_a_serial_answer_as_soon_as_it_is_another) {
  std::string request;
  ASSERT_TRUE(append_modbus_read(request, ModbusSpace::input, 100, 2));
  expect_garbled(hear_rtu(hex("02"), 1, request), "another unit");
  expect_garbled(hear_rtu(hex("01 03"), 1, request), "another function");
  expect_garbled(hear_rtu(hex("01 83"), 1, request), "an exception to another function");
  expect_garbled(hear_rtu(hex("01 04 02"), 1, request), "another byte count");
  expect_garbled(hear_rtu(rtu(1, hex("04 02 00 0A")), 1, request), "a shorter answer with a right check");
  expect_garbled(hear_rtu(rtu(1, hex("04 06 00 0A 00 0B 00 0C")), 1, request), "a longer one");
  expect_garbled(hear_rtu(rtu(1, hex("04 04 00 0A 00 0B 00")), 1, request), "a byte beyond the count");
}

TEST(ModbusFrames, expects_nobody_to_answer_what_everybody_was_told) {
  std::string request;
  ASSERT_TRUE(append_modbus_write(request, ModbusSpace::holding, 1, 3));
  EXPECT_EQ(hear_rtu({}, 0, request).kind, Heard::incomplete);
  expect_garbled(hear_rtu(rtu(0, request), 0, request), "an answer of unit 0");
  EXPECT_EQ(hear_rtu(rtu(0, request), 0, request, true).kind, Heard::incomplete);
}

TEST(ModbusFrames, sees_a_collision_in_every_byte_of_the_echo) {
  const ModbusExample& each = modbus_examples().at(7);
  const std::string echo = rtu(1, each.request);
  for (std::size_t at = 0; at < echo.size(); ++at) {
    std::string collided = echo;
    collided[at] = static_cast<char>(collided[at] ^ 0x10);
    expect_garbled(hear_rtu(collided.substr(0, at + 1), 1, each.request, true), std::to_string(at));
    expect_garbled(hear_rtu(collided + rtu(1, each.answer), 1, each.request, true), std::to_string(at));
  }
}

TEST(ModbusFrames, does_not_take_the_answer_for_the_echo) {
  for (const ModbusExample& each : modbus_examples()) {
    const ModbusHeard heard = hear_rtu(rtu(1, each.answer), 1, each.request, true);
    EXPECT_NE(heard.kind, Heard::answer) << each.name;
  }
}

TEST(ModbusFrames, does_not_take_the_echo_of_a_read_or_a_block_for_the_answer) {
  for (const ModbusExample& each : modbus_examples()) {
    if (each.answer == each.request) continue;
    expect_garbled(hear_rtu(rtu(1, each.request), 1, each.request), each.name);
  }
}

TEST(ModbusFrames, throws_away_the_answers_of_other_transactions) {
  const ModbusExample& each = modbus_examples().at(2);
  const std::string late =
      mbap(0, 1, hex("04 02 00 0A")) + mbap(0xFFFF, 9, hex("81 02")) + mbap(0x0100, 1, each.answer);
  const std::string wire = late + mbap(1, 1, each.answer);
  for (std::size_t length = 0; length < wire.size(); ++length) {
    std::size_t foreign = 99;
    const std::string_view came = std::string_view(wire).substr(0, length);
    EXPECT_EQ(hear_mbap(came, 1, 1, each.request, foreign).kind, Heard::incomplete) << length;
    const std::size_t whole = length < 11 ? 0 : length < 20 ? 11 : length < late.size() ? 20 : late.size();
    EXPECT_EQ(foreign, whole) << length;
  }
  std::size_t foreign = 0;
  const ModbusHeard heard = hear_mbap(wire, 1, 1, each.request, foreign);
  ASSERT_EQ(heard.kind, Heard::answer) << heard.why;
  EXPECT_EQ(heard.pdu, each.answer);
  EXPECT_EQ(foreign, late.size());
  const ModbusHeard again = hear_mbap(std::string_view(wire).substr(foreign), 1, 1, each.request, foreign);
  EXPECT_EQ(again.kind, Heard::answer);
  EXPECT_EQ(again.pdu, heard.pdu);
  EXPECT_EQ(foreign, 0U);
}

TEST(ModbusFrames, gives_up_on_what_is_no_frame_behind_a_foreign_one) {
  std::string request;
  ASSERT_TRUE(append_modbus_read(request, ModbusSpace::input, 100, 1));
  std::size_t foreign = 0;
  const std::string wire = mbap(7, 1, hex("04 02 00 0A")) + hex("00 01 00 01");
  expect_garbled(hear_mbap(wire, 1, 1, request, foreign), "another protocol");
  EXPECT_EQ(foreign, 11U);
}

TEST(ModbusFrames, gives_up_on_a_tcp_answer_as_soon_as_it_is_another) {
  std::string request;
  ASSERT_TRUE(append_modbus_read(request, ModbusSpace::input, 100, 2));
  expect_garbled(hear_tcp(hex("00 01 01"), request), "another protocol number");
  expect_garbled(hear_tcp(hex("00 01 00 01"), request), "another protocol number");
  expect_garbled(hear_tcp(hex("00 01 00 00 01"), request), "a length beyond 255");
  expect_garbled(hear_tcp(hex("00 01 00 00 00 FF"), request), "a length beyond 254");
  expect_garbled(hear_tcp(hex("00 01 00 00 00 01"), request), "a length without a function");
  expect_garbled(hear_tcp(hex("00 01 00 00 00 00"), request), "no length");
  expect_garbled(hear_tcp(hex("00 09 00 00 00 00"), request), "no length, of another transaction");
  expect_garbled(hear_tcp(hex("00 01 00 00 00 07 02"), request), "another unit");
  expect_garbled(hear_tcp(hex("00 01 00 00 00 07 01 03"), request), "another function");
  expect_garbled(hear_tcp(hex("00 01 00 00 00 07 01 04 02"), request), "another byte count");
  expect_garbled(hear_tcp(hex("00 01 00 00 00 08 01 04"), request), "a longer frame");
  expect_garbled(hear_tcp(hex("00 01 00 00 00 06 01 04"), request), "a shorter frame");
  expect_garbled(hear_tcp(hex("00 01 00 00 00 04 01 84 02"), request), "a longer exception");
}

TEST(ModbusFrames, lets_a_tcp_unit_be_number_zero) {
  std::string request;
  ASSERT_TRUE(append_modbus_read(request, ModbusSpace::input, 100, 1));
  std::size_t foreign = 0;
  EXPECT_EQ(hear_mbap(mbap(1, 0, hex("04 02 00 0A")), 1, 0, request, foreign).kind, Heard::answer);
}

// 3.5 characters of 11 bits: 4.01 ms at 9600 baud, 2.01 ms at 19200; 1.75 ms above (MODBUS over serial line
// V1.02, 2.5.1.1, as a public page quotes it).
TEST(ModbusFrames, knows_the_silence_before_a_request) {
  EXPECT_NEAR(rtu_silence_s(9600, 11), 4.01e-3, 5e-6);
  EXPECT_NEAR(rtu_silence_s(19200, 11), 2.01e-3, 5e-6);
  EXPECT_DOUBLE_EQ(rtu_silence_s(9600, 10), 35.0 / 9600);
  for (const int baud : {19201, 38400, 115200}) EXPECT_DOUBLE_EQ(rtu_silence_s(baud, 11), 1.75e-3) << baud;
}

}  // namespace
}  // namespace leadwright
