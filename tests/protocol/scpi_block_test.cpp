// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <string>

#include "protocol/scpi.h"

namespace leadwright {
namespace {

using Kind = ScpiBlock::Kind;

void expect_block(std::string_view came, bool ended, std::string_view bytes, std::size_t size) {
  const ScpiBlock block = read_scpi_block(came, ended);
  EXPECT_EQ(block.kind, Kind::complete) << came;
  EXPECT_EQ(block.bytes, bytes) << came;
  EXPECT_EQ(block.size, size) << came;
}

void expect_no_block(std::string_view came, bool ended) {
  const ScpiBlock block = read_scpi_block(came, ended);
  EXPECT_EQ(block.kind, Kind::not_a_block) << came;
  EXPECT_TRUE(block.bytes.empty()) << came;
  EXPECT_EQ(block.size, 0U) << came;
}

// As a SCPI device on TCP answered an outside client (shared notes on instruments, 1).
TEST(ScpiBlock, reads_a_definite_block_by_its_count) {
  expect_block("#15HELLO", false, "HELLO", 8);
  expect_block("#15HELLO\r\n", false, "HELLO", 8);
  expect_block("#205HELLO", false, "HELLO", 9);
  expect_block("#10", false, "", 3);
}

TEST(ScpiBlock, keeps_line_ends_and_any_other_byte_in_the_data) {
  const std::string data = std::string("\n\r\0;,\"#15\xFF\n", 11);
  const std::string came = std::string("#211").append(data);
  expect_block(came, false, data, came.size());
  expect_block(came, true, data, came.size());
}

TEST(ScpiBlock, waits_for_the_rest_wherever_it_is_cut) {
  const std::string_view whole = "#212HELLO\nWORLD!";
  for (std::size_t length = 0; length < whole.size(); ++length) {
    const ScpiBlock block = read_scpi_block(whole.substr(0, length));
    EXPECT_EQ(block.kind, Kind::incomplete) << length;
    EXPECT_EQ(block.size, length < 4 ? 0U : whole.size()) << length;
  }
  expect_block(whole, false, "HELLO\nWORLD!", whole.size());
}

TEST(ScpiBlock, tells_how_large_a_block_will_be_before_it_is_there) {
  const ScpiBlock block = read_scpi_block("#9999999999");
  EXPECT_EQ(block.kind, Kind::incomplete);
  EXPECT_EQ(block.size, 1'000'000'010U);
}

TEST(ScpiBlock, leaves_what_follows_to_others) {
  const std::string_view came = "#12AB;12.5\n";
  const ScpiBlock block = read_scpi_block(came);
  ASSERT_EQ(block.kind, Kind::complete);
  EXPECT_EQ(came.substr(block.size), ";12.5\n");
}

TEST(ScpiBlock, skips_blanks_and_power_up_noise_in_front) {
  expect_block(std::string_view("\0 \n#12 A", 8), false, " A", 8);
  EXPECT_EQ(read_scpi_block("  ").kind, Kind::incomplete);
}

TEST(ScpiBlock, is_no_block_if_it_begins_like_none) {
  for (const char* came :
       {"12.5\n", "\"#15HELLO\"", "#", "#H1F", "#Q17", "#B01", "#-15", "#1", "#1A", "#2 5HELLO", "#35x"}) {
    const bool could_go_on = std::string_view(came) == "#" || std::string_view(came) == "#1";
    if (could_go_on) {
      EXPECT_EQ(read_scpi_block(came).kind, Kind::incomplete) << came;
    } else {
      expect_no_block(came, false);
    }
    expect_no_block(came, true);
  }
}

// IEEE 488.2, 8.7.10, from memory, and users' guides of instruments: the answer's own end, NL with END,
// follows the data.
TEST(ScpiBlock, reads_an_indefinite_block_up_to_the_end_of_its_message) {
  expect_block("#0HELLO\n", true, "HELLO", 7);
  expect_block("#0HEL\nLO", true, "HEL\nLO", 8);
  expect_block("#0HELLO\n\n", true, "HELLO\n", 8);
  expect_block("#0\n", true, "", 2);
  expect_block("#0", true, "", 2);
}

TEST(ScpiBlock, never_ends_an_indefinite_block_on_a_stream) {
  for (const char* came : {"#0", "#0HELLO", "#0HELLO\n"}) {
    const ScpiBlock block = read_scpi_block(came, false);
    EXPECT_EQ(block.kind, Kind::incomplete) << came;
    EXPECT_EQ(block.size, 0U) << came;
  }
}

TEST(ScpiBlock, is_no_block_if_its_message_ends_before_its_count) {
  const std::string_view whole = "#212HELLO\nWORLD!";
  for (std::size_t length = 0; length < whole.size(); ++length)
    expect_no_block(whole.substr(0, length), true);
}

}  // namespace
}  // namespace leadwright
