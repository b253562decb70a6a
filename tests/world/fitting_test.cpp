// SPDX-License-Identifier: Apache-2.0
// May a new battery be fitted: from a place that measured it, and from a meter without any place.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::HasSubstr;

// By hand: 12.20 V is 43.2 % on the ladder of flooded batteries; 60 Ah x 0.568 x 1.10 = 37.5 Ah, 225 min at
// 10 A.
class FittingTest : public WorldTest {
 protected:
  void SetUp() override { make_world(); }
  Response ask(const std::string& body) { return world->ask("fitting.check", "", body); }
};

TEST_F(FittingTest, a_label_and_a_meter_are_enough) {
  const Response told = ask(R"({"battery":{"chemistry":"flooded","cells":6,"c20_ah":60},"charger_a":10,)"
                            R"("reading":{"ocv_v":12.2,"battery_degc":25,"stood_h":48}})");
  ASSERT_EQ(told.status, 200) << told.body;
  EXPECT_THAT(told.body, AllOf(HasSubstr(R"("verdict":"charge_first")"), HasSubstr(R"("minutes":225.)")));
  EXPECT_EQ(ask(R"({"battery":{"chemistry":"flooded"}})").status, 400);
  EXPECT_EQ(ask(R"({"ticket":"T-000099-0"})").status, 404);
}

TEST_F(FittingTest, a_place_knows_what_its_rest_measured_and_nothing_that_came_before_a_charge) {
  const std::string ticket = begin_run("cell:sound,charged=0.6", "new-battery confirmation", charging);
  const std::string body = R"({"ticket":")" + ticket + R"(","charger_a":10})";
  EXPECT_THAT(ask(body).body, HasSubstr(R"("verdict":"measure_first")"));
  ASSERT_TRUE(world->finish(charging));
  EXPECT_THAT(ask(body).body, AllOf(HasSubstr(R"("verdict":"charge_first")"), HasSubstr(R"("soc_1":0.)")));
}

}  // namespace
}  // namespace leadwright
