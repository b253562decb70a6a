// SPDX-License-Identifier: Apache-2.0
// What the wire says of how fast a place reacted.
#include "tools/simtest_world/reactions.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

namespace leadwright {
namespace {

class ReactionsTest : public testing::Test {
 protected:
  ReactionsTest() {
    reactions_.add("charger-1", WatchedInstrument{WireEar::Kind::scpi, Second(5.0), false});
    WatchedPlace wiring;
    wiring.charger = "charger-1";
    reactions_.add("bay-1", wiring);
  }

  void says(bool outward, const std::string& bytes) {
    at_ = at_ + Second(0.05);
    ear_.hear(outward, bytes, at_);
    reactions_.crossed({"charger-1", &ear_, false}, outward, bytes, at_);
  }
  void reads(double amps) {
    at_ = at_ + Second(0.4);
    says(true, "*ESE 7;MEAS:VOLT?;:MEAS:CURR?;*ESE?\n");
    says(false, fmt::format("14.4;{:.3f};7\n", amps));
  }
  void trips(const std::string& sentence) {
    says(true, "OUTP OFF\n");
    reactions_.says("bay-1", sentence, at_);
  }

  Tally tally_;
  Reactions reactions_{tally_};
  WireEar ear_{WireEar::Kind::scpi};
  Instant at_;
};

TEST_F(ReactionsTest, counts_no_reading_of_a_charge_that_tapers_as_one_that_strayed) {
  says(true, "OUTP ON\n");
  for (int reading = 0; reading < 50; ++reading) reads(4.0);
  for (int reading = 0; reading < 5; ++reading) reads(12.0);
  trips("the current is 12.000 A where 10.000 A is set");
  EXPECT_EQ(tally_.of("reaction 3 follow, SCPI: 5"), 1);
}

TEST_F(ReactionsTest, takes_a_breach_from_the_first_reply_beyond_the_limit) {
  says(true, "OUTP ON\n");
  reads(9.0);
  reads(11.0);
  trips("11.000 A is above the limit of 10.500 A");
  EXPECT_EQ(tally_.of("reaction 1 breach, SCPI: 50"), 1);
}

}  // namespace
}  // namespace leadwright
