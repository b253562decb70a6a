// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/age.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

std::optional<int> months(std::string_view written, std::string_view to) {
  return months_since(written, *Utc::parse(to));
}

TEST(Age, counts_whole_months_from_a_day) {
  EXPECT_EQ(months("2024-03-15", "2024-03-15"), 0);
  EXPECT_EQ(months("2024-03-15", "2024-04-14"), 0);
  EXPECT_EQ(months("2024-03-15", "2024-04-15"), 1);
  EXPECT_EQ(months("2024-03-15", "2026-03-15"), 24);
}

TEST(Age, counts_a_month_without_a_day_from_its_last_one) {
  EXPECT_EQ(months("2024-03", "2024-04-30"), 0);
  EXPECT_EQ(months("2024-03", "2024-05-01"), 1);
  EXPECT_EQ(months("2024-02", "2024-03-29"), 1) << "29 days in February of that year";
}

TEST(Age, of_what_is_dated_this_month_without_a_day_is_none) {
  EXPECT_EQ(months("2024-03", "2024-03-02"), 0);
}

TEST(Age, of_what_is_dated_in_the_future_is_negative) {
  EXPECT_LT(*months("2024-03", "2024-02-28"), 0);
  EXPECT_LT(*months("2024-03-15", "2024-03-14"), 0);
  EXPECT_EQ(days_since("2024-03-15", *Utc::parse("2024-03-14")), -1);
}

TEST(Age, is_missing_without_a_date) {
  EXPECT_FALSE(months("", "2024-03-15"));
  EXPECT_FALSE(months("last spring", "2024-03-15"));
  EXPECT_FALSE(days_since("2024", *Utc::parse("2024-03-14")));
}

TEST(Age, in_days_begins_with_the_next_day) {
  EXPECT_EQ(days_since("2024-03-15", *Utc::parse("2024-03-15T23:59:59Z")), 0);
  EXPECT_EQ(days_since("2024-02", *Utc::parse("2024-03-01")), 1);
}

}  // namespace
}  // namespace leadwright
