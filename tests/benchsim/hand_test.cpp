// SPDX-License-Identifier: Apache-2.0
// The simulated hand against a bench that is a canned snapshot: what it carries, answers and starts.
#include "tools/benchsim/hand.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace leadwright {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::IsEmpty;

struct HandWorld {
  HandWorld() {
    auto opened = hand.drop_off();
    EXPECT_TRUE(opened);
    calls.clear();
  }
  bool turn(const std::string& places, const std::string& queue) {
    snapshot = R"({"at":"2026-01-01T00:00:00Z","places":[)" + places + R"(],"queue":[)" + queue + "]}";
    calls.clear();
    return hand.turn().value();
  }
  Result<std::string> api(const std::string& method, const std::string& path, const std::string& body) {
    if (method == "GET") return snapshot;
    calls.push_back(path + " " + body);
    if (refuse) return fail(Errc::conflict, "not now");
    return std::string(R"({"ticket":"T-1"})");
  }

  std::string snapshot;
  std::vector<std::string> calls;
  std::vector<std::string> lines;
  bool refuse = false;
  Hand hand{
      {[this](const std::string& m, const std::string& p, const std::string& b) { return api(m, p, b); },
       [this](const std::string& command) -> Result<std::string> {
         calls.push_back("bench " + command);
         return std::string("ok");
       },
       [this](const std::string& line) { lines.push_back(line); }},
      {{"a battery", "SER-1", "cell:sound", 6, false, "{}"}}};
};

const std::string shelf = R"({"name":"shelf","kind":"shelf","ticket":null,"activity":"idle"})";

std::string bay(const std::string& ticket, const std::string& activity, const std::string& ask = "null") {
  return R"({"name":"bay-1","kind":"bay","ticket":)" + ticket + R"(,"activity":")" + activity +
         R"(","ask":)" + ask + "}";
}
std::string charging(const std::string& ticket, const std::string& activity) {
  return R"({"name":"charge-1","kind":"charging","ticket":)" + ticket + R"(,"activity":")" + activity +
         R"("})";
}
std::string entry(const std::string& place, const std::string& next, const std::string& grade = "null") {
  return R"({"ticket":"T-1","label":"x","state":"waiting","place":")" + place + R"(","grade":)" + grade +
         R"(,"reason":"because","next":)" + next + "}";
}
const std::string wants_bay = R"({"procedure":"intake check","place_kind":"bay"})";
const std::string wants_charge = R"({"procedure":"standard charge","place_kind":"charging"})";

TEST(Hand, carries_first_and_scans_then) {
  HandWorld world;
  EXPECT_FALSE(world.turn(bay("null", "ready") + "," + shelf, entry("shelf", wants_bay)));
  EXPECT_THAT(world.calls,
              ElementsAre("bench move SER-1 bay-1", R"(/api/v1/tickets/T-1/move {"place":"bay-1"})"));
}

TEST(Hand, carries_back_what_may_not_be_moved) {
  HandWorld world;
  world.refuse = true;
  world.turn(bay("null", "ready") + "," + shelf, entry("shelf", wants_bay));
  EXPECT_EQ(world.calls.back(), "bench move SER-1 shelf");
  world.turn(bay("null", "ready") + "," + shelf, entry("shelf", wants_bay));
  EXPECT_THAT(world.calls, IsEmpty());  // not again in the very next turn
}

TEST(Hand, starts_what_is_ready) {
  HandWorld world;
  world.turn(bay(R"("T-1")", "ready"), entry("bay-1", wants_bay));
  EXPECT_THAT(world.calls, ElementsAre(R"(/api/v1/places/bay-1/acknowledge {"of":"cautions"})",
                                       "/api/v1/places/bay-1/start {}"));
}

TEST(Hand, starts_nothing_twice_before_the_bench_shows_it) {
  HandWorld world;
  world.turn(bay(R"("T-1")", "ready"), entry("bay-1", wants_bay));
  world.turn(bay(R"("T-1")", "ready"), entry("bay-1", wants_bay));
  EXPECT_THAT(world.calls, IsEmpty());
}

TEST(Hand, answers_questions) {
  HandWorld world;
  world.turn(bay(R"("T-1")", "asking", R"({"of":"cells","text":"count"})"), entry("bay-1", wants_bay));
  EXPECT_THAT(world.calls, ElementsAre(R"(/api/v1/places/bay-1/acknowledge {"of":"cells","cells":6})"));
  world.turn(bay(R"("T-1")", "asking", R"({"of":"same_battery","text":"?"})"), entry("bay-1", wants_bay));
  EXPECT_THAT(world.calls,
              ElementsAre(R"(/api/v1/places/bay-1/acknowledge {"of":"same_battery","answer":"yes"})"));
}

TEST(Hand, frees_the_bay_when_a_charging_place_will_do) {
  HandWorld world;
  world.turn(bay(R"("T-1")", "ready") + "," + charging("null", "ready"), entry("bay-1", wants_charge));
  EXPECT_THAT(world.calls, Contains("bench move SER-1 charge-1"));
}

TEST(Hand, charges_in_the_bay_when_no_charging_place_is_free) {
  HandWorld world;
  world.turn(bay(R"("T-1")", "ready") + "," + charging(R"("T-9")", "running"), entry("bay-1", wants_charge));
  EXPECT_EQ(world.calls.back(), "/api/v1/places/bay-1/start {}");
}

TEST(Hand, touches_nothing_that_runs) {
  HandWorld world;
  world.turn(bay(R"("T-1")", "running") + "," + charging("null", "ready"), entry("bay-1", wants_charge));
  EXPECT_THAT(world.calls, IsEmpty());
}

TEST(Hand, leaves_a_place_alone_that_is_out_of_service) {
  HandWorld world;
  world.turn(bay("null", "out_of_service") + "," + shelf, entry("shelf", wants_bay));
  EXPECT_THAT(world.calls, IsEmpty());
}

TEST(Hand, is_done_when_every_ticket_has_a_grade) {
  HandWorld world;
  EXPECT_TRUE(world.turn(shelf, entry("shelf", "null", R"("B")")));
  EXPECT_EQ(world.hand.graded(), 1U);
  EXPECT_NE(world.hand.table().back().find("because"), std::string::npos);
}

TEST(Hand, is_done_when_what_has_no_grade_can_get_none) {
  HandWorld world;
  std::string held = entry("shelf", "null");
  held.replace(held.find("waiting"), 7, "held");
  EXPECT_TRUE(world.turn(shelf, held));
  EXPECT_EQ(world.hand.graded(), 0U);
}

TEST(Hand, reports_a_bench_that_talks_nonsense) {
  HandWorld world;
  world.snapshot = "<html>";
  EXPECT_EQ(world.hand.turn().error().code, Errc::garbled);
}

TEST(Scenario, of_the_demo_has_six_batteries_with_labels) {
  const auto scenario = load_scenario(std::string(LEADWRIGHT_SOURCE_DIR) + "/config/demo/returns.toml");
  ASSERT_TRUE(scenario) << scenario.error().front().line();
  EXPECT_EQ(scenario->size(), 6U);
  EXPECT_NE(scenario->front().drop_off.find("\"reserve_capacity_min\""), std::string::npos);
  EXPECT_NE(scenario->back().drop_off.find(
                R"("procedures":["standard charge","stability rest","reserve capacity"])"),
            std::string::npos);
  EXPECT_EQ(scenario->back().simulated.find(".."), std::string::npos);
}

}  // namespace
}  // namespace leadwright
