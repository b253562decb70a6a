// SPDX-License-Identifier: Apache-2.0
// The device's side of SCPI-1999 and IEEE 488.2; rules as in shared/instruments.md, section 1.
#include "tools/benchsim/scpi_device.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

class Sample final : public ScpiDevice {
 public:
  Sample() : ScpiDevice("Leadwright,sample,1,sim-1") {
    on("MEASure[:SCALar]:VOLTage[:DC]?", [](ScpiCall& call) { write(call.answer, 12.5); });
    on("MEASure[:SCALar]:CURRent[:DC]?", [](ScpiCall& call) { write(call.answer, -0.0001); });
    on("[SOURce:]CURRent[:LEVel]", [this](ScpiCall& call) {
      if (const auto value = number(call, 0.0, 40.0)) set_ = *value;
    });
    on("[SOURce:]CURRent[:LEVel]?", [this](ScpiCall& call) { write(call.answer, set_); });
    on("INPut[:STATe]", [this](ScpiCall& call) {
      if (const auto state = boolean(call)) on_ = *state;
    });
    on("INPut[:STATe]?", [this](ScpiCall& call) { call.answer += on_ ? '1' : '0'; });
  }
  std::string operator()(std::string_view message) {
    std::string answers;
    receive(message, answers);
    return answers;
  }

 private:
  void reset() override { set_ = 0.0; }
  double set_ = 0.0;
  bool on_ = false;
};

TEST(ScpiDevice, takes_short_and_long_forms_and_nothing_in_between) {
  Sample device;
  EXPECT_EQ(device("MEAS:VOLT?\n"), "12.500\n");
  EXPECT_EQ(device("measure:scalar:voltage:dc?\n"), "12.500\n");
  EXPECT_EQ(device("MEASU:VOLT?\n"), "");
  EXPECT_EQ(device("SYST:ERR?\n"), "-113,\"Undefined header;MEASU:VOLT?\"\n");
}

TEST(ScpiDevice, joins_the_answers_of_one_message) {
  Sample device;
  EXPECT_EQ(device("MEAS:VOLT?;:MEAS:CURR?\n"), "12.500;0.000\n");
}

TEST(ScpiDevice, keeps_the_header_path_after_a_semicolon) {
  Sample device;
  EXPECT_EQ(device("MEAS:VOLT?;CURR?\n"), "12.500;0.000\n");
  // The path after MEAS:VOLT:DC? is MEAS:VOLT: and CURR:DC? is unknown there: a shorter reply, and -113.
  EXPECT_EQ(device("MEAS:VOLT:DC?;CURR:DC?\n"), "12.500\n");
  EXPECT_EQ(device("SYST:ERR?\n").substr(0, 4), "-113");
}

TEST(ScpiDevice, leaves_the_path_alone_at_a_common_command) {
  Sample device;
  EXPECT_EQ(device("MEAS:VOLT?;*OPC?;CURR?\n"), "12.500;1;0.000\n");
}

TEST(ScpiDevice, answers_nothing_to_a_bad_query) {
  Sample device;
  EXPECT_EQ(device("NONSENSE?\n"), "");
}

TEST(ScpiDevice, takes_bytes_in_any_pieces) {
  Sample device;
  EXPECT_EQ(device("MEAS:VO"), "");
  EXPECT_EQ(device("LT?\r"), "");
  EXPECT_EQ(device("\nMEAS:CURR?\n"), "12.500\n0.000\n");
}

TEST(ScpiDevice, ends_a_half_sent_message_at_a_lone_line_feed) {
  Sample device;
  EXPECT_EQ(device("MEAS:VO\nINP OFF\nINP?\n"), "0\n");
  EXPECT_EQ(device("SYST:ERR?\n").substr(0, 4), "-113");
}

TEST(ScpiDevice, says_once_that_power_was_on) {
  Sample device;
  EXPECT_EQ(device("*ESR?\n"), "128\n");
  EXPECT_EQ(device("*ESR?\n"), "0\n");
  device.restart();
  EXPECT_EQ(device("*ESR?\n"), "128\n");
}

TEST(ScpiDevice, answers_the_nonce_fence) {
  Sample device;
  EXPECT_EQ(device("*ESE 173;*ESE?\n"), "173\n");
}

TEST(ScpiDevice, sets_event_bits_by_the_class_of_the_error) {
  Sample device;
  device("*CLS\nNONSENSE\n");
  EXPECT_EQ(device("*ESR?\n"), "32\n");  // CME
  device("CURR 99\n");
  EXPECT_EQ(device("*ESR?\n"), "16\n");  // EXE
  device.interrupted();
  EXPECT_EQ(device("*ESR?\n"), "4\n");  // QYE
}

TEST(ScpiDevice, sums_events_and_errors_up_in_the_status_byte) {
  Sample device;
  device("*CLS;*ESE 32\n");
  EXPECT_EQ(device("*STB?\n"), "0\n");
  device("NONSENSE\n");
  EXPECT_EQ(device("*STB?\n"), "36\n");  // error queue 4, event summary 32
}

TEST(ScpiDevice, empties_the_queue_in_order_and_then_says_no_error) {
  Sample device;
  device("CURR 99\nCURR abc\nCURR\n");
  EXPECT_EQ(device("SYST:ERR?\n"), "-222,\"Data out of range;99\"\n");
  EXPECT_EQ(device("SYST:ERR:NEXT?\n"), "-104,\"Data type error;ABC\"\n");
  EXPECT_EQ(device("SYST:ERR?\n"), "-109,\"Missing parameter\"\n");
  EXPECT_EQ(device("SYST:ERR?\n"), "0,\"No error\"\n");
}

TEST(ScpiDevice, says_when_its_queue_overflowed) {
  Sample device;
  for (int i = 0; i < 40; ++i) device("NONSENSE\n");
  std::string last;
  for (std::string next = device("SYST:ERR?\n"); next.front() != '0'; next = device("SYST:ERR?\n"))
    last = next;
  EXPECT_EQ(last, "-350,\"Queue overflow\"\n");
}

TEST(ScpiDevice, keeps_its_errors_over_a_reset_and_drops_them_at_clear) {
  Sample device;
  device("CURR 5;NONSENSE\n*RST\n");
  EXPECT_EQ(device("CURR?\n"), "0.000\n");
  EXPECT_EQ(device("SYST:ERR?\n").substr(0, 4), "-113");
  device("NONSENSE\n*CLS\n");
  EXPECT_EQ(device("SYST:ERR?\n"), "0,\"No error\"\n");
}

TEST(ScpiDevice, reads_every_form_of_a_number) {
  Sample device;
  EXPECT_EQ(device("CURR +2.5E+01;CURR?\n"), "25.000\n");
  EXPECT_EQ(device("CURR 7A;CURR?\n"), "7.000\n");
  EXPECT_EQ(device("SOUR:CURR:LEV MAX;:CURR?\n"), "40.000\n");
  EXPECT_EQ(device("CURR NAN;:SYST:ERR?\n").front(), '-');
}

TEST(ScpiDevice, drops_a_message_that_never_ends) {
  Sample device;
  device(std::string(10'000, 'A'));
  EXPECT_EQ(device("\nMEAS:VOLT?\n"), "12.500\n");
  EXPECT_EQ(device("SYST:ERR?\n"), "-363,\"Input buffer overrun\"\n");
}

TEST(ScpiDevice, survives_any_bytes) {
  Sample device;
  std::uint32_t state = 1;
  std::string bytes;
  for (int i = 0; i < 20'000; ++i) {
    state = state * 1664525U + 1013904223U;
    bytes += static_cast<char>(state >> 24U);
  }
  device(bytes + "\n;;:;*;?;:?;\"a;b\n*;:\n*CLS\n");
  EXPECT_EQ(device("MEAS:VOLT?\n"), "12.500\n");
}

TEST(ScpiPattern, allows_what_stands_in_brackets_to_be_left_out) {
  EXPECT_TRUE(is_scpi_spelling("[SOURce:]CURRent:PROTection[:LEVel]?", "CURR:PROT?"));
  EXPECT_TRUE(is_scpi_spelling("[SOURce:]CURRent:PROTection[:LEVel]?", "SOUR:CURRENT:PROT:LEV?"));
  EXPECT_FALSE(is_scpi_spelling("[SOURce:]CURRent:PROTection[:LEVel]?", "CURR:PROT"));
  EXPECT_FALSE(is_scpi_spelling("[SOURce:]CURRent:PROTection[:LEVel]", "CURR:PROT:STAT"));
  EXPECT_FALSE(is_scpi_spelling("[SOURce:]CURRent", "CURR:"));
  EXPECT_FALSE(is_scpi_spelling("*IDN?", "IDN?"));
}

}  // namespace
}  // namespace leadwright
