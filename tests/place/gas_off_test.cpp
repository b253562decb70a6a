// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/gas_off.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

constexpr Utc ended{1'767'225'600'000'000'000};  // 2026-01-01T00:00:00Z

TEST(GasOff, is_over_after_its_time_and_not_before) {
  const GasOff gas{minutes(60.0), ended};
  EXPECT_EQ(gas.left(ended + minutes(20.0)), minutes(40.0));
  EXPECT_EQ(gas.left(ended + minutes(60.0)), Second(0.0));
  EXPECT_EQ(gas.left(ended + hours(9.0)), Second(0.0));
}

TEST(GasOff, is_none_where_nothing_was_charged) {
  EXPECT_EQ((GasOff{minutes(60.0), std::nullopt}).left(ended), Second(0.0));
  EXPECT_EQ((GasOff{minutes(60.0), std::nullopt}).warning(ended), "");
}

TEST(GasOff, says_until_when_and_for_how_long) {
  EXPECT_EQ((GasOff{minutes(60.0), ended}).warning(ended + minutes(17.5)),
            "do not unclamp until 2026-01-01T01:00:00Z, 43 min from now: the gas of the charge has not gone");
}

}  // namespace
}  // namespace leadwright
