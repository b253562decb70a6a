// SPDX-License-Identifier: Apache-2.0
#include "tools/client/watch.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

std::string bench(const std::string& activity, const std::string& volts) {
  return R"({"places":[{"name":"bay-1","activity":")" + activity +
         R"(","ticket":"T-000001-3","step":"draw","volts_v":)" + volts +
         R"(,"amps_a":25.0,"case_degc":null,"left_s":720,"progress":0.5},)"
         R"({"name":"bay-2","activity":"ready"}]})";
}

TEST(Watch, shows_numbers_while_it_runs_and_ends_with_the_run) {
  WatchView view("bay-1");
  const auto first = view.take(bench("running", "12.1"));
  ASSERT_TRUE(first);
  ASSERT_EQ(first->size(), 1U);
  EXPECT_EQ(first->front().text, "running  T-000001-3  draw  12.100 V  25.00 A  - degC  12 min left  50 %");
  EXPECT_TRUE(first->front().is_new);
  EXPECT_FALSE(view.take(bench("running", "12.0"))->front().is_new);
  EXPECT_FALSE(view.has_ended());
  EXPECT_TRUE(view.take(bench("ready", "12.4"))->front().is_new);
  EXPECT_TRUE(view.has_ended());
  EXPECT_FALSE(view.ended_badly());
}

TEST(Watch, tells_a_trip_from_an_end) {
  WatchView view("bay-1");
  ASSERT_TRUE(view.take(bench("running", "12.1")));
  ASSERT_TRUE(view.take(bench("tripped", "null")));
  EXPECT_TRUE(view.ended_badly());
}

TEST(Watch, refuses_a_place_that_is_not_there_or_does_not_run) {
  EXPECT_EQ(WatchView("bay-9").take(bench("running", "12.1")).error().code, Errc::not_found);
  EXPECT_EQ(WatchView("bay-2").take(bench("running", "12.1")).error().code, Errc::conflict);
  EXPECT_EQ(WatchView("bay-2").take("[]").error().code, Errc::garbled);
}

TEST(Watch, of_all_places_shows_those_that_run_and_never_ends) {
  WatchView view("");
  EXPECT_EQ(view.take(bench("running", "12.1"))->size(), 1U);
  const auto stopped = view.take(bench("ready", "12.1"));
  ASSERT_EQ(stopped->size(), 1U);
  EXPECT_TRUE(stopped->front().is_new);
  EXPECT_TRUE(view.take(bench("ready", "12.1"))->empty());
  EXPECT_FALSE(view.has_ended());
}

}  // namespace
}  // namespace leadwright
