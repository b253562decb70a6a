// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/gas_off.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/clock/virtual_clock.h"

namespace leadwright {
namespace {

struct GasOffTest : testing::Test {
  VirtualClock clock;  // from 2026-01-01T00:00:00Z
  const GasOff gas{minutes(60.0), clock.now()};
};

TEST_F(GasOffTest, is_over_after_its_time_and_not_before) {
  clock.run_for(minutes(20.0));
  EXPECT_EQ(gas.left(clock), minutes(40.0));
  clock.run_for(minutes(40.0));
  EXPECT_EQ(gas.left(clock), Second(0.0));
  clock.run_for(hours(9.0));
  EXPECT_EQ(gas.left(clock), Second(0.0));
}

TEST_F(GasOffTest, is_none_where_nothing_was_charged) {
  EXPECT_EQ((GasOff{minutes(60.0), std::nullopt}).left(clock), Second(0.0));
  EXPECT_EQ((GasOff{minutes(60.0), std::nullopt}).warning(clock).text(), "");
}

TEST_F(GasOffTest, says_until_when_and_for_how_long) {
  clock.run_for(minutes(17.5));
  EXPECT_EQ(gas.warning(clock).text(),
            "do not unclamp until 2026-01-01T01:00:00Z, 43 min from now: the gas of the charge has not gone");
}

TEST_F(GasOffTest, says_it_by_the_date_that_was_set_meanwhile) {
  clock.step_utc(hours(24.0));
  EXPECT_THAT(gas.warning(clock).text(),
              testing::StartsWith("do not unclamp until 2026-01-02T01:00:00Z, 60 min"));
}

}  // namespace
}  // namespace leadwright
