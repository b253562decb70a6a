// SPDX-License-Identifier: Apache-2.0
// Frames of a Modbus line as its devices hear them. The RTU frame "11 03 006B 0003 76 87" is that of the
// published example; other checks are computed by protocol/modbus_frames.h, whose own test holds them against
// outside numbers.
#include "tools/benchsim/modbus_server.h"

#include <gtest/gtest.h>

#include "daemon/clock/virtual_clock.h"
#include "protocol/modbus_frames.h"
#include "tests/benchsim/hex.h"

namespace leadwright {
namespace {

/// Answers each request with its function and its own number, and remembers it.
struct Station final : ModbusStation {
  explicit Station(char of) : number(of) {}
  void request(std::string_view pdu, std::string& answer) override {
    heard.push_back(to_hex(pdu));
    if (is_silent) return;
    answer += pdu[0];
    answer += number;
  }
  char number;
  bool is_silent = false;
  std::vector<std::string> heard;
};

std::string rtu(int unit, std::string_view pdu) {
  std::string frame;
  append_rtu(frame, static_cast<std::uint8_t>(unit), from_hex(pdu));
  return frame;
}

struct RtuLine : testing::Test {
  RtuLine() {
    server.add(1, first);
    server.add(17, second);
  }
  std::string operator()(std::string_view bytes) {
    std::string answers;
    server.exchange(bytes, answers);
    return answers;
  }
  void silence() { clock.run_for(Second(0.002)); }

  VirtualClock clock;
  Station first{1};
  Station second{17};
  ModbusServer server{ModbusServer::Framing::rtu, clock, Second(0.0015)};
};

TEST_F(RtuLine, answers_for_the_unit_that_was_asked) {
  EXPECT_EQ((*this)(from_hex("11 03 006B 0003 76 87")), rtu(17, "03 11"));
  EXPECT_EQ((*this)(rtu(1, "03 006B 0003")), rtu(1, "03 01"));
  EXPECT_EQ(first.heard, std::vector<std::string>{"03 00 6B 00 03"});
}

TEST_F(RtuLine, says_nothing_for_units_that_are_not_there) {
  EXPECT_EQ((*this)(rtu(2, "03 006B 0003")), "");
  EXPECT_EQ((*this)(rtu(1, "03 006B 0003")), rtu(1, "03 01"));
}

TEST_F(RtuLine, takes_a_frame_in_any_pieces) {
  for (const std::string_view pdu :
       {"06 0001 0003", "0F 0013 000A 02 CD01", "17 0003 0001 000E 0001 02 00FF"}) {
    const std::string frame = rtu(1, pdu);
    std::string answers;
    for (const char byte : frame) answers += (*this)(std::string_view(&byte, 1));
    EXPECT_EQ(answers, rtu(1, std::string(pdu.substr(0, 2)) + " 01"));
  }
}

TEST_F(RtuLine, hears_nothing_after_a_broken_frame_until_silence) {
  std::string broken = rtu(1, "06 0001 0003");
  broken[3] = static_cast<char>(broken[3] ^ 4);
  EXPECT_EQ((*this)(broken + rtu(1, "06 0001 0003")), "");
  EXPECT_EQ((*this)(rtu(1, "06 0001 0003")), "");
  silence();
  EXPECT_EQ((*this)(rtu(1, "06 0001 0003")), rtu(1, "06 01"));
  EXPECT_EQ(first.heard.size(), 1U);
}

TEST_F(RtuLine, forgets_half_a_frame_after_silence) {
  EXPECT_EQ((*this)(rtu(1, "06 0001 0003").substr(0, 5)), "");
  silence();
  EXPECT_EQ((*this)(rtu(1, "06 0001 0003")), rtu(1, "06 01"));
}

TEST_F(RtuLine, survives_any_bytes) {
  std::uint32_t state = 1;
  for (int i = 0; i < 2000; ++i) {
    std::string noise;
    for (int j = 0; j < 40; ++j) {
      state = state * 1664525U + 1013904223U;
      noise += static_cast<char>(state >> 24U);
    }
    (*this)(noise);
    if (i % 10 == 0) silence();
  }
  silence();
  EXPECT_EQ((*this)(rtu(1, "06 0001 0003")), rtu(1, "06 01"));
}

TEST_F(RtuLine, carries_a_broadcast_write_out_everywhere_without_an_answer) {
  EXPECT_EQ((*this)(rtu(0, "05 0000 0000")), "");
  EXPECT_EQ(first.heard, std::vector<std::string>{"05 00 00 00 00"});
  EXPECT_EQ(second.heard, first.heard);
  EXPECT_EQ((*this)(rtu(0, "03 0000 0001")), "");
  EXPECT_EQ(first.heard.size(), 1U);
}

TEST_F(RtuLine, gives_an_unknown_function_to_the_unit_to_refuse) {
  EXPECT_EQ((*this)(rtu(1, "2B 0E 01 00")), rtu(1, "2B 01"));
}

TEST_F(RtuLine, sends_nothing_where_a_unit_stays_silent) {
  first.is_silent = true;
  EXPECT_EQ((*this)(rtu(1, "06 0001 0003")), "");
  EXPECT_EQ(first.heard.size(), 1U);
}

struct TcpPort : testing::Test {
  std::string operator()(std::string_view hex) {
    std::string answers;
    server.exchange(from_hex(hex), answers);
    return to_hex(answers);
  }
  VirtualClock clock;
  Station first{1};
  Station second{17};
  ModbusServer server{ModbusServer::Framing::tcp, clock, Second(0.0015)};
};

TEST_F(TcpPort, answers_with_the_transaction_that_was_asked) {
  server.add(1, first);
  EXPECT_EQ((*this)("0001 0000 0006 01 03 0000 0004"), "00 01 00 00 00 03 01 03 01");
}

TEST_F(TcpPort, takes_requests_in_any_pieces_and_several_at_once) {
  server.add(1, first);
  EXPECT_EQ((*this)("0001 0000 00"), "");
  EXPECT_EQ((*this)("06 01 03 0000 0004 0002 0000 0006 01 04 0000 0001"),
            "00 01 00 00 00 03 01 03 01 00 02 00 00 00 03 01 04 01");
}

TEST_F(TcpPort, takes_0_and_255_for_the_only_unit) {
  server.add(1, first);
  EXPECT_EQ((*this)("0001 0000 0006 FF 03 0000 0004"), "00 01 00 00 00 03 FF 03 01");
  EXPECT_EQ((*this)("0001 0000 0006 00 03 0000 0004"), "00 01 00 00 00 03 00 03 01");
}

TEST_F(TcpPort, is_a_gateway_where_there_are_several) {
  server.add(1, first);
  server.add(17, second);
  EXPECT_EQ((*this)("0001 0000 0006 11 03 0000 0004"), "00 01 00 00 00 03 11 03 11");
  EXPECT_EQ((*this)("0002 0000 0006 05 03 0000 0004"), "00 02 00 00 00 03 05 83 0B");
  EXPECT_EQ((*this)("0003 0000 0006 00 05 0000 0000"), "");
  EXPECT_EQ(first.heard.size(), 1U);
}

TEST_F(TcpPort, hears_nothing_after_what_is_no_modbus_until_silence) {
  server.add(1, first);
  for (const char* no_modbus : {"0001 0001 0006 01 03 0000 0004", "0001 0000 FFFF 01 03 0000 0004"}) {
    EXPECT_EQ((*this)(no_modbus), "");
    EXPECT_EQ((*this)("0001 0000 0006 01 03 0000 0004"), "");
    clock.run_for(Second(0.002));
    EXPECT_EQ((*this)("0001 0000 0006 01 03 0000 0004"), "00 01 00 00 00 03 01 03 01");
  }
}

TEST_F(TcpPort, waits_for_the_rest_of_a_frame_however_long_it_takes) {
  server.add(1, first);
  EXPECT_EQ((*this)("0001 0000 0006 01 03"), "");
  clock.run_for(Second(5.0));
  EXPECT_EQ((*this)("0000 0004"), "00 01 00 00 00 03 01 03 01");
}

TEST_F(TcpPort, forgets_half_a_frame_of_the_client_before) {
  server.add(1, first);
  EXPECT_EQ((*this)("0001 0000 0006 01 03"), "");
  server.connected();
  EXPECT_EQ((*this)("0002 0000 0006 01 03 0000 0004"), "00 02 00 00 00 03 01 03 01");
}

}  // namespace
}  // namespace leadwright
