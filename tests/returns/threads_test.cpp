// SPDX-License-Identifier: Apache-2.0
// Many returns at once.
#include <gtest/gtest.h>

#include "tools/returns/report.h"

namespace leadwright {
namespace {

class ManyReturns : public testing::Test {
 protected:
  void SetUp() override {
    auto mix = load_returns_mix(LEADWRIGHT_SOURCE_DIR "/config/returns.toml");
    ASSERT_TRUE(mix) << mix.error().front().line();
    options.mix = std::move(*mix);
    // Charged ones are soon done, and a mixture shows an exchange.
    std::erase_if(options.mix.kinds, [](const BatteryKind& kind) {
      return kind.name != "sound" && kind.name != "shorted cell" && kind.name != "open joint";
    });
    options.config_folder = LEADWRIGHT_SOURCE_DIR "/config";
    options.policy_file = options.config_folder + "/policies/new_battery.toml";
    options.full_sequence = false;
    options.count = 5;
  }
  std::string reported(const std::vector<RehearsedReturn>& all) const {
    return returns_json(summarise(all, Policy{}, 'C', options.mix), all, {});
  }
  ReturnsOptions options;
};

TEST_F(ManyReturns, several_threads_give_what_one_gives_and_tell_how_far_they_are) {
  options.threads = 1;
  const auto alone = rehearse_returns(options);
  options.threads = 3;
  double told = 0.0;
  const auto together = rehearse_returns(options, [&told](double done) { told = done; });
  ASSERT_TRUE(alone);
  ASSERT_TRUE(together);
  EXPECT_EQ(told, 1.0);
  EXPECT_EQ(reported(*alone), reported(*together));
  options.seed = 2;
  const auto other = rehearse_returns(options);
  ASSERT_TRUE(other);
  EXPECT_NE(reported(*alone), reported(*other));
}

TEST_F(ManyReturns, go_on_until_there_are_enough_of_each_and_leave_none_out) {
  options.of_each = 1;
  options.share_least = 0.6;
  options.threads = 2;
  const auto all = rehearse_returns(options);
  ASSERT_TRUE(all);
  int good = 0;
  for (std::size_t i = 0; i < all->size(); ++i) {
    EXPECT_EQ((*all)[i].one.number, static_cast<int>(i));
    if ((*all)[i].truth.is_good(options.share_least)) ++good;
  }
  EXPECT_EQ(std::min(good, static_cast<int>(all->size()) - good), 1);
}

TEST_F(ManyReturns, a_policy_that_can_not_be_read_fails_once_with_its_mistakes) {
  options.policy_file = "/nowhere.toml";
  options.threads = 2;
  const auto none = rehearse_returns(options);
  ASSERT_FALSE(none);
  EXPECT_EQ(none.error().size(), 1U);
}

}  // namespace
}  // namespace leadwright
