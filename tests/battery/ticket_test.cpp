// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/ticket.h"

#include <gtest/gtest.h>

#include "daemon/battery/content_hash.h"

namespace leadwright {
namespace {

// 000123: 3 x 2 + 2 x 3 + 1 x 4 = 16, 16 mod 11 = 5, 11 - 5 = 6 (by hand).
TEST(TicketNumber, carries_its_check_digit) {
  EXPECT_EQ(shown(TicketId{123}), "T-000123-6");
}

// 000006: 6 x 2 = 12, 12 mod 11 = 1, 11 - 1 = 10, written X (by hand).
TEST(TicketNumber, writes_a_check_of_ten_as_x) {
  EXPECT_EQ(shown(TicketId{6}), "T-000006-X");
}

TEST(TicketNumber, is_read_back_for_many_numbers) {
  for (const std::int64_t number : {1LL, 5LL, 6LL, 999999LL, 1000000LL, 123456789012LL}) {
    const auto parsed = parse_ticket_id(shown(TicketId{number}));
    ASSERT_TRUE(parsed) << number;
    EXPECT_EQ(*parsed, TicketId{number});
  }
}

TEST(TicketNumber, refuses_every_single_wrong_digit) {
  const std::string right = shown(TicketId{123456});
  for (std::size_t i = 2; i < 8; ++i) {
    for (char digit = '0'; digit <= '9'; ++digit) {
      if (digit == right[i]) continue;
      std::string wrong = right;
      wrong[i] = digit;
      EXPECT_FALSE(parse_ticket_id(wrong)) << wrong;
    }
  }
}

TEST(TicketNumber, refuses_swapped_neighbours) {
  const std::string right = shown(TicketId{123456});
  for (std::size_t i = 2; i < 7; ++i) {
    std::string wrong = right;
    std::swap(wrong[i], wrong[i + 1]);
    EXPECT_FALSE(parse_ticket_id(wrong)) << wrong;
  }
}

TEST(TicketNumber, refuses_what_it_would_not_print) {
  for (const char* text : {"", "T-", "T-123-6", "000123-6", "T-000123", "R-000123-6", "T-000123-6 ",
                           "T-0000000123-6", "T-00012a-6", "T-000000-0", "T-99999999999999999999-1"}) {
    const auto parsed = parse_ticket_id(text);
    ASSERT_FALSE(parsed) << text;
    EXPECT_EQ(parsed.error().code, Errc::bad_input);
  }
}

TEST(RunNumber, is_read_as_it_is_shown_and_in_no_other_way) {
  for (const std::int64_t number : {1, 456, 999999, 1000000}) {
    EXPECT_EQ(parse_run_id(shown(RunId{number})).value(), RunId{number});
  }
  for (const char* text : {"", "R", "R-", "R-1", "R-000000", "R--00001", "R-000001 ", "r-000001",
                           "T-000001-3", "R-0000001", "R-99999999999999999999"}) {
    ASSERT_FALSE(parse_run_id(text)) << text;
    EXPECT_EQ(parse_run_id(text).error().code, Errc::bad_input);
  }
}

TEST(Ids, are_shown_with_their_kind) {
  EXPECT_EQ(shown(RunId{456}), "R-000456");
  EXPECT_EQ(shown(BatteryId{12}), "B-000012");
}

TEST(Words, are_read_back) {
  for (int i = 0; i < 10; ++i)
    EXPECT_EQ(ticket_state_of(word(static_cast<TicketState>(i))), static_cast<TicketState>(i));
  for (int i = 0; i < 4; ++i) EXPECT_EQ(closing_of(word(static_cast<Closing>(i))), static_cast<Closing>(i));
  for (int i = 0; i < 8; ++i)
    EXPECT_EQ(measurand_of(key(static_cast<Measurand>(i))), static_cast<Measurand>(i));
  for (int i = 0; i < 7; ++i)
    EXPECT_EQ(fault_kind_of(word(static_cast<FaultKind>(i))), static_cast<FaultKind>(i));
  EXPECT_STREQ(word(RunOutcome::void_), "void");
  EXPECT_FALSE(ticket_state_of("lost"));
}

// BLAKE2b-256 of the empty string, as printed by `b2sum -l 256 /dev/null` (GNU coreutils 9.1).
TEST(ContentHash, agrees_with_an_outside_tool) {
  EXPECT_EQ(content_hash(""), "0e5751c026e543b2e8ab2eb06099daa1d1e5df47778f7787faab45cdf12fe3a8");
  EXPECT_NE(content_hash("a"), content_hash("b"));
}

}  // namespace
}  // namespace leadwright
