// SPDX-License-Identifier: Apache-2.0
// What the bench suggests for its free places, as the page gets it.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class SuggestedPlace : public WorldTest {
 protected:
  std::string suggested() {
    world->clock().run_for(Second(2.0));
    const std::string shown = world->bench().snapshot();
    const auto from = shown.find(R"("suggestions":)");
    const auto to = shown.find(R"(,"cautions")", from);
    return from == std::string::npos ? shown : shown.substr(from, to - from);
  }
};

TEST_F(SuggestedPlace, is_a_free_bay_for_what_came_in_first_and_nothing_once_a_battery_stands_there) {
  make_world();
  EXPECT_EQ(suggested(), R"("suggestions":[])") << "nothing waits";
  bring("x", "cell:sound");
  const std::string first = drop_off("S-1");
  const std::string second = drop_off("S-2");
  EXPECT_THAT(suggested(), HasSubstr(R"({"place":"bay-1","ticket":")" + first +
                                     R"(","procedure":"intake check","why":"Of those that wait)"));
  carry("x", second, bay);
  EXPECT_EQ(suggested(), R"("suggestions":[])") << "a person chose another; the bay is taken";
}

}  // namespace
}  // namespace leadwright
