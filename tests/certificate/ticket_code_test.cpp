// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/ticket_code.h"

#include <gmock/gmock.h>

#include <algorithm>

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

TEST(TicketCode, is_a_code_128_with_a_quiet_zone_of_ten_modules_on_both_sides) {
  const auto svg = ticket_code_svg("T-000001-9");
  ASSERT_TRUE(svg) << svg.error().line();
  EXPECT_THAT(*svg, StartsWith("<svg "));
  // ISO/IEC 15417: start, ten characters of which six digits go by pairs with two changes of set, check: 11
  // modules each; stop: 13. The first bar is two modules wide.
  EXPECT_THAT(*svg, HasSubstr(R"(viewBox="0 0 154 24")"));
  EXPECT_THAT(*svg, HasSubstr(R"(d="M10 0h2v24h-2z)"));
  EXPECT_THAT(*svg, HasSubstr("h2v24h-2z\"/></svg>"));
  EXPECT_THAT(*svg, HasSubstr("<title>T-000001-9</title>"));
}

TEST(TicketCode, refuses_what_a_code_128_does_not_hold) {
  const auto svg = ticket_code_svg("票");
  ASSERT_FALSE(svg);
  EXPECT_EQ(svg.error().code, Errc::bad_input);
  EXPECT_FALSE(ticket_code_svg(""));
}

}  // namespace
}  // namespace leadwright
