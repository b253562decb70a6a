// SPDX-License-Identifier: Apache-2.0
#include "daemon/clock/instant.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

TEST(Instant, midpoint_of_two_instants_is_between_them) {
  EXPECT_EQ(midpoint(Instant(10), Instant(21)).ns(), 15);
  EXPECT_EQ(midpoint(Instant(-4), Instant(4)).ns(), 0);
}

TEST(Instant, never_is_later_than_everything) {
  EXPECT_LT(Instant(INT64_MAX - 1), Instant::never());
}

TEST(Utc, writes_and_reads_rfc_3339) {
  // 1 767 225 600 s is 2026-01-01T00:00:00Z: date -u -d @1767225600
  const Utc new_year(1'767'225'600'000'000'000);
  EXPECT_EQ(new_year.rfc3339(), "2026-01-01T00:00:00Z");
  EXPECT_EQ(Utc::parse("2026-01-01T00:00:00Z"), new_year);
  EXPECT_EQ(Utc::parse("2026-01-01"), new_year);
}

TEST(Utc, of_a_month_is_its_first_day_where_that_is_asked_for) {
  EXPECT_EQ(Utc::parse_from_month("2026-01"), Utc::parse("2026-01-01"));
  EXPECT_EQ(Utc::parse_from_month("2026-01-15"), Utc::parse("2026-01-15"));
  for (const char* wrong : {"2026-13", "2026-1", "2026", ""})
    EXPECT_EQ(Utc::parse_from_month(wrong), std::nullopt) << wrong;
  EXPECT_EQ(Utc::parse("2026-01"), std::nullopt);
}

TEST(Utc, refuses_dates_that_do_not_exist) {
  for (const char* text : {"2026-02-29", "2026-13-01", "2026-1-01", "2026-01-01T24:00:00Z",
                           "2026-01-01T00:00:00", "0001-01-01", "2466-02-03", "yesterday", ""}) {
    EXPECT_EQ(Utc::parse(text), std::nullopt) << text;
  }
}

}  // namespace
}  // namespace leadwright
