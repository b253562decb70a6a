// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/said.h"

#include <gtest/gtest.h>

#include <limits>

namespace leadwright {
namespace {

TEST(Said, fills_each_hole_by_its_name_and_keeps_the_values_for_other_languages) {
  const Sentence said = say("fell", "fell to {volts} after {after}, {why}",
                            {said_amount("after", 93.44, 1, "min"), said_amount("volts", 10.5, 2, "V"),
                             said_words("why", "as it should {or not}")});
  EXPECT_EQ(said.text(), "fell to 10.50 V after 93.4 min, as it should {or not}");
  ASSERT_EQ(said.phrases().size(), 1U);
  EXPECT_EQ(said.phrases().front().code, "fell");
  EXPECT_EQ(said.phrases().front().values.at(1).text, "10.50");
  EXPECT_EQ(said.phrases().front().values.at(1).unit, "V");
}

TEST(Said, goes_on_in_place_of_a_full_stop_and_after_anything_else) {
  Sentence ended = say("worn", "worn").say("full_stop", ".");
  ended.go_on(say("but", "; but cold."));
  EXPECT_EQ(ended.text(), "worn; but cold.");
  ASSERT_EQ(ended.phrases().size(), 2U);
  EXPECT_EQ(ended.phrases().back().code, "but");
  Sentence open = say("worn", "worn");
  EXPECT_EQ(open.go_on(say("but", "; but cold.")).text(), "worn; but cold.");
}

TEST(Said, text_that_was_kept_without_phrases_counts_as_somebodys_own_words) {
  const Sentence kept("stopped by hand", {});
  Sentence ended = say("ended", "charge ended: ");
  ended.add(kept);
  EXPECT_EQ(ended.text(), "charge ended: stopped by hand");
  ASSERT_EQ(ended.phrases().size(), 2U);
  EXPECT_EQ(ended.phrases().back().code, "words");
  Sentence needs = kept;
  needs.say("look", ": look");
  ASSERT_EQ(needs.phrases().size(), 2U);
  EXPECT_EQ(needs.phrases().front().values.front().text, "stopped by hand");
  EXPECT_TRUE(in_own_words("").phrases().empty());
}

TEST(Said, leaves_out_what_has_no_value_and_calls_nothing_a_number_that_is_none) {
  EXPECT_EQ(say("a", "{missing}left").text(), "left");
  EXPECT_EQ(say("a", "cut {off").text(), "cut ");
  EXPECT_FALSE(said_amount("u", std::numeric_limits<double>::infinity(), 1, "V").is_number);
  EXPECT_EQ(said_count("days", 3).text, "3");
}

}  // namespace
}  // namespace leadwright
