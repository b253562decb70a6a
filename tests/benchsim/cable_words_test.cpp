// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/cable_words.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

using Kind = CableFault::Kind;

TEST(CableWords, name_every_fault_of_a_line) {
  EXPECT_EQ(read_cable_fault("lost")->kind, Kind::lost);
  EXPECT_EQ(read_cable_fault("doubled")->kind, Kind::doubled);
  EXPECT_EQ(read_cable_fault("endless")->kind, Kind::endless);
  EXPECT_EQ(read_cable_fault("late 0.5")->time, Second(0.5));
  EXPECT_EQ(read_cable_fault("truncated 3")->count, 3);
  EXPECT_EQ(read_cable_fault("dropped 0")->kind, Kind::dropped);
  EXPECT_EQ(read_cable_fault("flipped 0")->kind, Kind::flipped);
  EXPECT_EQ(read_cable_fault("rubbish 64")->count, 64);
  const auto split = read_cable_fault("split 10 0.01");
  ASSERT_TRUE(split);
  EXPECT_EQ(split->count, 10);
  EXPECT_EQ(split->time, Second(0.01));
}

TEST(CableWords, say_which_messages_it_strikes) {
  const auto fault = read_cable_fault("lost question after 2 times 3");
  ASSERT_TRUE(fault);
  EXPECT_TRUE(fault->strikes_questions);
  EXPECT_EQ(fault->skip, 2);
  EXPECT_EQ(fault->times, 3);
  EXPECT_EQ(read_cable_fault("lost always")->times, 0);
  EXPECT_EQ(read_cable_fault("lost")->times, 1);
}

TEST(CableWords, are_refused_with_the_word_that_is_wrong) {
  const auto error = [](const char* words) {
    const auto fault = read_cable_fault(words);
    return fault ? std::string() : fault.error().line();
  };
  EXPECT_NE(error("sings").find("no such fault of a line: sings"), std::string::npos);
  EXPECT_NE(error("late").find("nothing"), std::string::npos);
  EXPECT_NE(error("late soon").find("soon"), std::string::npos);
  EXPECT_NE(error("late -1").find("-1"), std::string::npos);
  EXPECT_NE(error("split 1 0.1").find("out of range: 1"), std::string::npos);
  EXPECT_NE(error("lost twice").find("twice"), std::string::npos);
  EXPECT_NE(error("lost times 0").find("out of range: 0"), std::string::npos);
  EXPECT_NE(error("late 1 question").find("a question can't be late"), std::string::npos);
  EXPECT_NE(error("").find("nothing"), std::string::npos);
}

}  // namespace
}  // namespace leadwright
