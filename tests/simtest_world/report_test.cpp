// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/report.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tools/simtest_world/shape.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

TEST(SimtestReport, names_each_kind_that_struck_too_seldom_links_and_people_too) {
  Tally sum;
  sum.add("fault link.stall", 99);
  sum.add("fault person.holds", 100);
  const std::string seldom = seldom_text(sum, 100);
  EXPECT_THAT(seldom, HasSubstr("link.stall struck 99 times, fewer than 100\n"));
  EXPECT_THAT(seldom, HasSubstr("cable.pulled struck 0 times"));
  EXPECT_THAT(seldom, Not(HasSubstr("person.holds")));
}

TEST(SimtestReport, names_no_kind_where_none_is_asked_for) {
  EXPECT_EQ(seldom_text(Tally(), 0), "");
}

TEST(SimtestReport, counts_each_kind_once_and_says_zero_of_what_never_struck) {
  Tally sum;
  sum.add("seeds", 3);
  sum.add("fault link.drop", 12);
  const std::string table = table_text(sum, Second(2.0));
  EXPECT_THAT(table, HasSubstr("link.drop                             12\n"));
  EXPECT_THAT(table, HasSubstr("process.kill                           0\n"));
  EXPECT_EQ(table.find("link.drop"), table.rfind("link.drop"));
}

}  // namespace
}  // namespace leadwright
