// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include "tools/simtest_world/simtest_options.h"

namespace leadwright {
namespace {

TEST(SimtestOptions, are_read) {
  const auto options =
      read_simtest_options({"--seeds", "3..9", "--hours", "1.5", "--jobs", "2", "--twice", "--ceiling",
                            "cable.,sim.busy", "--hashes", "--each-kind", "100"});
  ASSERT_TRUE(options) << options.error().line();
  EXPECT_EQ(options->first, 3U);
  EXPECT_EQ(options->last, 9U);
  EXPECT_EQ(options->hours, hours(1.5));
  EXPECT_EQ(options->jobs, 2);
  EXPECT_TRUE(options->twice);
  EXPECT_TRUE(options->hashes);
  EXPECT_EQ(options->each_kind, 100U);
  EXPECT_EQ(options->ceiling, (std::vector<std::string>{"cable.", "sim.busy"}));
}

TEST(SimtestOptions, refuse_what_they_do_not_understand) {
  for (const std::vector<std::string>& wrong : {std::vector<std::string>{"--seeds", "9..3"},
                                                {"--seeds"},
                                                {"--hours", "0"},
                                                {"--jobs", "many"},
                                                {"--colour", "red"},
                                                {"--seeds", "1..2", "--log", "x"}}) {
    EXPECT_FALSE(read_simtest_options(wrong)) << wrong.front();
  }
}

}  // namespace
}  // namespace leadwright
