// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/date_code.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

std::vector<std::string> meant(std::string_view code) {
  return months_of_date_code(code, *Utc::parse_from_month("2026-06-15"));
}

TEST(DateCode, of_a_letter_and_two_digits_is_one_month_as_far_as_h) {
  EXPECT_THAT(meant("C24"), ElementsAre("2024-03"));
  EXPECT_THAT(meant("c24"), ElementsAre("2024-03"));
  EXPECT_THAT(meant("H 24"), ElementsAre("2024-08"));
}

TEST(DateCode, of_a_letter_after_h_may_be_one_of_two_months) {
  EXPECT_THAT(meant("I24"), ElementsAre("2024-09"));
  EXPECT_THAT(meant("J24"), ElementsAre("2024-10", "2024-09"));
  EXPECT_THAT(meant("L24"), ElementsAre("2024-12", "2024-11"));
  EXPECT_THAT(meant("M24"), ElementsAre("2024-12")) << "only where I is skipped";
}

TEST(DateCode, of_one_digit_leaves_the_decade_open) {
  EXPECT_THAT(meant("C4"), ElementsAre("2024-03", "2014-03"));
  EXPECT_THAT(meant("C9"), ElementsAre("2019-03"));
}

TEST(DateCode, does_not_lie_in_the_future_or_fifteen_years_back) {
  EXPECT_THAT(meant("F26"), ElementsAre("2026-06"));
  EXPECT_THAT(meant("G26"), IsEmpty());
  EXPECT_THAT(meant("F11"), ElementsAre("2011-06"));
  EXPECT_THAT(meant("E11"), IsEmpty());
}

TEST(DateCode, of_numbers_is_month_and_year_with_a_day_before_or_not) {
  // F: JIS D 5306:2021, clause 5: 02 11 19 is 2 November 2019.
  EXPECT_THAT(meant("02 11 19"), ElementsAre("2019-11"));
  EXPECT_THAT(meant("11/19"), ElementsAre("2019-11"));
  EXPECT_THAT(meant("3.24"), ElementsAre("2024-03"));
}

TEST(DateCode, that_we_do_not_know_means_nothing) {
  for (const char* code :
       {"", "Q24", "C", "24", "13/24", "0/24", "C2024", "45 11 19", "11//19", "11 19 x", "3/4"})
    EXPECT_THAT(meant(code), IsEmpty()) << code;
}

}  // namespace
}  // namespace leadwright
