// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/alarm_calls.h"

#include <gtest/gtest.h>

#include <vector>

#include "daemon/clock/virtual_clock.h"

namespace leadwright {
namespace {

class AlarmCallsTest : public testing::Test {
 protected:
  AlarmCallsTest() {
    calls.hook = [this](const AlarmCall& call) { heard.push_back(word(call.kind) + (": " + call.what)); };
  }
  VirtualClock clock;
  AlarmCalls calls{clock, {{"/first"}, {"/second"}, minutes(5.0), 3}};
  std::vector<std::string> heard;
};

TEST_F(AlarmCallsTest, calls_at_once_then_again_and_then_somebody_else) {
  calls.follow("bay-1", "hot");
  clock.run_for(minutes(21.0));
  EXPECT_EQ(heard, (std::vector<std::string>{"begun: hot", "repeated: hot", "repeated: hot", "escalated: hot",
                                             "escalated: hot"}));
}

TEST_F(AlarmCallsTest, is_quiet_once_it_was_acknowledged_and_begins_anew_with_the_next) {
  calls.follow("bay-1", "hot");
  calls.follow("bay-1", "");
  clock.run_for(hours(1.0));
  EXPECT_EQ(heard.size(), 1U);
  calls.follow("bay-1", "cold");
  EXPECT_EQ(heard.back(), "begun: cold");
}

TEST_F(AlarmCallsTest, each_place_has_its_own_alarm_and_another_sentence_is_the_same_alarm) {
  calls.follow("bay-1", "hot");
  calls.follow("bay-2", "hot");
  calls.follow("bay-1", "hot; off could not be verified");
  EXPECT_EQ(heard.size(), 2U);
  clock.run_for(minutes(5.0));
  EXPECT_EQ(heard[2], "repeated: hot; off could not be verified");
}

TEST_F(AlarmCallsTest, without_a_second_command_the_first_is_called_for_ever) {
  AlarmCalls alone(clock, {{"/first"}, {}, minutes(5.0), 3});
  int count = 0;
  alone.hook = [&count](const AlarmCall& call) {
    count += call.kind == AlarmCall::Kind::escalated ? 100 : 1;
  };
  alone.follow("bay-1", "hot");
  clock.run_for(minutes(51.0));
  EXPECT_EQ(count, 11);
}

}  // namespace
}  // namespace leadwright
