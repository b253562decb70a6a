// SPDX-License-Identifier: Apache-2.0
// One exchange of a command with the bench.
#include "tools/client/call.h"

#include <gmock/gmock.h>

#include "tests/web/fake_bench.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

TEST(Ask, gives_a_list_with_all_its_pages) {
  FakeBench bench;
  bench.service.answer_in_turn({{200, "[1]", "T-000001-9"}, {200, "[2,3]", "T-000003-5"}, {200, "[]"}},
                               [] {});
  ClientOptions options;
  options.url = bench.web().url();
  const auto all = ask(options, {"GET", "/api/v1/tickets?state=held", ""});
  ASSERT_TRUE(all) << all.error().line();
  EXPECT_EQ(*all, "[1,2,3]");
  const auto seen = bench.service.seen();
  ASSERT_EQ(seen.size(), 3U);
  EXPECT_THAT(seen[2].body, HasSubstr(R"("cursor":"T-000003-5")"));
  EXPECT_THAT(seen[2].body, HasSubstr(R"("state":"held")"));
}

}  // namespace
}  // namespace leadwright
