// SPDX-License-Identifier: Apache-2.0
#include "drivers/scpi_dialect.h"

#include <gmock/gmock.h>

#include <charconv>

#include "world.h"

namespace leadwright {
namespace {

struct Tagged : testing::Test {
  Profile profile = shipped_profile("generic_scpi_load");
  ScpiDialect dialect{profile, false};
  std::string wire;

  std::string framed(std::string_view message) {
    wire.clear();
    dialect.frame(message, wire);
    return wire;
  }
};

TEST_F(Tagged, puts_a_number_around_each_question) {
  EXPECT_EQ(framed("MEAS:VOLT?;:MEAS:CURR?"), "*ESE 101;MEAS:VOLT?;:MEAS:CURR?;*ESE?\n");
  EXPECT_EQ(framed("INP?"), "*ESE 102;INP?;*ESE?\n");
}

TEST_F(Tagged, leaves_commands_and_the_identity_alone) {
  EXPECT_EQ(framed("INP OFF"), "INP OFF\n");
  // IEEE 488.2, 10.14: the answer to *IDN? has no end but that of the message, so nothing may follow it.
  EXPECT_EQ(framed("*IDN?"), "*IDN?\n");
}

TEST_F(Tagged, drops_a_late_answer_and_waits_for_its_own) {
  framed("MEAS:VOLT?");
  framed("MEAS:VOLT?");
  std::string came = "12.600;101\n";
  EXPECT_EQ(dialect.hear("MEAS:VOLT?", came, false).kind, Heard::Kind::incomplete);
  came += "12.300;102\r\n";
  const Heard heard = dialect.hear("MEAS:VOLT?", came, false);
  ASSERT_EQ(heard.kind, Heard::Kind::answer);
  EXPECT_EQ(heard.answer, "12.300");
}

TEST_F(Tagged, drops_the_double_of_an_earlier_answer_without_a_number) {
  framed("INP?");
  std::string came = "1\n0;101\n";
  const Heard heard = dialect.hear("INP?", came, false);
  ASSERT_EQ(heard.kind, Heard::Kind::answer);
  EXPECT_EQ(heard.answer, "0");
}

TEST_F(Tagged, takes_no_answer_with_another_after_it) {
  framed("INP?");
  std::string came = "0;101\n0;101\n";
  EXPECT_EQ(dialect.hear("INP?", came, false).kind, Heard::Kind::garbled);
}

TEST_F(Tagged, counts_round_within_numbers_that_no_status_register_shows_by_chance) {
  for (int i = 0; i < 400; ++i) {
    const std::string message = framed("INP?");
    int number = 0;
    std::from_chars(message.data() + 5, message.data() + message.size(), number);
    EXPECT_GE(number, ScpiDialect::number_min);
    EXPECT_LE(number, ScpiDialect::number_max);
  }
}

TEST_F(Tagged, needs_no_fence) {
  EXPECT_EQ(dialect.fence("INP?"), "");
}

struct Untagged : Tagged {
  Untagged() { profile.errors.tag = false; }
};

TEST_F(Untagged, has_a_fence_that_no_late_answer_satisfies) {
  const std::string fence = dialect.fence("INP?");
  EXPECT_EQ(fence, "*ESE 101;*ESE?");
  std::string came = "12.600;25.000\n1\n";
  EXPECT_EQ(dialect.hear_fence(fence, came, false).kind, Heard::Kind::incomplete);
  came += "+101\n";
  EXPECT_EQ(dialect.hear_fence(fence, came, false).kind, Heard::Kind::answer);
}

TEST_F(Untagged, takes_a_message_that_the_link_ended_without_a_line_feed) {
  std::string came = "12.600";
  EXPECT_EQ(dialect.hear("MEAS:VOLT?", came, false).kind, Heard::Kind::incomplete);
  EXPECT_EQ(dialect.hear("MEAS:VOLT?", came, true).answer, "12.600");
}

TEST(OffBytes, are_one_message_where_the_link_carries_messages) {
  Profile profile = shipped_profile("generic_scpi_load");
  profile.safe.commands = {"INP OFF", "*CLS", "CURR 0"};
  ScpiDialect stream(profile, false);
  ScpiDialect messages(profile, true);
  EXPECT_EQ(stream.off_bytes(profile), "INP OFF\n*CLS\nCURR 0\n");
  EXPECT_EQ(messages.off_bytes(profile), "INP OFF;*CLS;:CURR 0\n");
}

}  // namespace
}  // namespace leadwright
