// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/arguments.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

TEST(Arguments, an_empty_body_is_an_empty_object) {
  const auto arguments = Arguments::parse("", {"place"});
  ASSERT_TRUE(arguments);
  EXPECT_FALSE(arguments->text("place"));
}

TEST(Arguments, reads_text_and_numbers_and_takes_null_for_absent) {
  const auto arguments =
      Arguments::parse(R"({"place":"bay-1","cells":6,"why":null})", {"place", "cells", "why"});
  ASSERT_TRUE(arguments);
  EXPECT_EQ(arguments->text("place"), "bay-1");
  EXPECT_EQ(arguments->number("cells"), 6.0);
  EXPECT_FALSE(arguments->text("why"));
  EXPECT_FALSE(arguments->text("cells")) << "a number is not text";
}

TEST(Arguments, an_unknown_key_is_an_error_with_a_near_match) {
  const auto arguments = Arguments::parse(R"({"plaec":"bay-1"})", {"place"});
  ASSERT_FALSE(arguments);
  EXPECT_NE(arguments.error().mend.find("place"), std::string::npos);
}

TEST(Arguments, anything_but_an_object_is_an_error) {
  for (const char* body : {"[]", "1", "{", R"({"place":{}})"}) {
    EXPECT_FALSE(Arguments::parse(body, {"place"})) << body;
  }
}

TEST(Arguments, an_object_is_taken_where_one_is_expected_alone) {
  const auto arguments = Arguments::parse(R"({"with":{"amps":"5 A","time":"1 h"}})", {"place"}, {"with"});
  ASSERT_TRUE(arguments) << arguments.error().line();
  const auto texts = arguments->texts("with");
  ASSERT_TRUE(texts);
  ASSERT_EQ(texts->size(), 2U);
  EXPECT_EQ((*texts)[0].first, "amps");
  EXPECT_EQ((*texts)[1].second, "1 h");
  EXPECT_FALSE(Arguments::parse(R"({"with":"5 A"})", {"place"}, {"with"}));
  EXPECT_FALSE(Arguments::parse(R"({"with":{"amps":5}})", {"place"}, {"with"})->texts("with"));
}

TEST(Arguments, tell_a_truth_value_from_text_and_numbers) {
  const auto arguments =
      Arguments::parse(R"({"on":true,"off":false,"word":"true","one":1})", {"on", "off", "word", "one"});
  ASSERT_TRUE(arguments);
  EXPECT_EQ(arguments->truth("on"), true);
  EXPECT_EQ(arguments->truth("off"), false);
  EXPECT_FALSE(arguments->truth("word"));
  EXPECT_FALSE(arguments->truth("one"));
  EXPECT_FALSE(arguments->truth("absent"));
}

}  // namespace
}  // namespace leadwright
