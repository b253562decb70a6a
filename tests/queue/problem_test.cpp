// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/problem.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

TEST(Problem, says_what_where_and_how_to_mend_it_and_escapes_it) {
  const Response response = problem({Errc::conflict, "a \"run\" is going on", "bay-1", "wait"});
  EXPECT_EQ(response.status, 409);
  EXPECT_EQ(response.body, R"({"type":"about:blank","title":"conflict","status":409,"code":"conflict",)"
                           R"("detail":"a \"run\" is going on","where":"bay-1","mend":"wait"})");
}

TEST(Problem, bad_input_is_the_senders_and_a_bug_is_ours) {
  EXPECT_EQ(problem({Errc::bad_input, "", "", ""}).status, 400);
  EXPECT_EQ(problem({Errc::not_found, "", "", ""}).status, 404);
  EXPECT_EQ(problem({Errc::busy, "", "", ""}).status, 503);
  EXPECT_EQ(problem({Errc::bug, "", "", ""}).status, 500);
}

}  // namespace
}  // namespace leadwright
