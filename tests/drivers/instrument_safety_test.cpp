// SPDX-License-Identifier: Apache-2.0
// How an instrument is opened, identified and switched off.
#include <gmock/gmock.h>

#include "world.h"

namespace leadwright {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

using Opening = LoadWorld;

TEST_F(Opening, switches_off_before_it_asks_anything) {
  ASSERT_TRUE(run(load->connect()));
  ASSERT_GE(device.heard.size(), 3U);
  EXPECT_EQ(device.heard[0], "INP OFF");
  EXPECT_EQ(device.heard[1], "CURR 0");
  EXPECT_EQ(device.heard[2], "*IDN?");
  EXPECT_FALSE(device.is_on);
  EXPECT_EQ(load->state(), LinkState::ready);
}

TEST_F(Opening, sends_off_even_to_an_instrument_that_never_answers) {
  device.is_mute = true;
  const Result<void> connected = run(load->connect());
  ASSERT_FALSE(connected);
  EXPECT_EQ(connected.error().code, Errc::timed_out);
  EXPECT_THAT(connected.error().line(), HasSubstr("memory:bay-1.load: nothing answered to *IDN?"));
  EXPECT_THAT(device.heard, Contains("INP OFF"));
  EXPECT_FALSE(link->is_open());
  EXPECT_EQ(load->state(), LinkState::closed);
}

TEST_F(Opening, is_told_off_and_asked_nothing_until_it_is_connected) {
  ASSERT_TRUE(run(load->reach()));
  EXPECT_THAT(device.heard, ElementsAre("INP OFF", "CURR 0"));
  device.heard.clear();
  connect();
  EXPECT_EQ(load->counters().reopenings, 0U);
  EXPECT_EQ(load->state(), LinkState::ready);
}

TEST_F(Opening, finds_that_another_unit_answers_than_before) {
  connect();
  EXPECT_TRUE(run(load->check_identity()));
  device.identity = "Leadwright,simulated load,L2,sim-240";
  const Result<void> same = run(load->check_identity());
  ASSERT_FALSE(same);
  EXPECT_EQ(same.error().code, Errc::conflict);
  EXPECT_EQ(load->identity()->serial, "L1");
  EXPECT_TRUE(link->is_open()) << "off may still have to go out";
}

TEST_F(Opening, reads_identity_and_scale) {
  connect();
  ASSERT_TRUE(load->identity());
  EXPECT_EQ(load->identity()->maker, "Leadwright");
  EXPECT_EQ(load->identity()->serial, "L1");
  EXPECT_EQ(load->identity()->simulated_scale, 240.0);
}

TEST_F(Opening, names_the_wrong_instrument_what_was_expected_and_how_to_mend_it) {
  device.identity = "Leadwright,simulated charger,C1,sim-240";
  const Result<void> connected = run(load->connect());
  ASSERT_FALSE(connected);
  EXPECT_EQ(connected.error().code, Errc::conflict);
  EXPECT_THAT(connected.error().what, HasSubstr("\"Leadwright,simulated charger,C1,sim-240\" answered"));
  EXPECT_THAT(connected.error().what, HasSubstr("\"simulated load\" is expected"));
  EXPECT_THAT(connected.error().mend, HasSubstr("bay-1.load"));
  EXPECT_FALSE(link->is_open());
}

TEST_F(Opening, refuses_another_unit_than_before_after_a_reconnect) {
  connect();
  load->close();
  device.identity = "Leadwright,simulated load,L2,sim-240";
  const Result<void> again = run(load->connect());
  ASSERT_FALSE(again);
  EXPECT_EQ(again.error().code, Errc::conflict);
  EXPECT_THAT(again.error().mend, HasSubstr("put back unit L1"));
}

TEST_F(Opening, says_when_there_is_no_such_device) {
  link->unplug();
  const Result<void> connected = run(load->connect());
  ASSERT_FALSE(connected);
  EXPECT_EQ(connected.error().code, Errc::not_found);
}

TEST_F(Opening, forgets_what_a_former_session_left_on_the_line) {
  device.answers["INP OFF"] = "stale answer to nobody";
  device.answer_delays["INP OFF"] = Second(0.03);
  device.swallowed["INP OFF"] = 0;
  std::optional<Result<void>> result;
  const Job job(clock.loop(), keep(load->connect(), result));
  clock.run_for(Second(0.0));
  device.answers.clear();
  clock.run_for(Second(5.0));
  ASSERT_TRUE(result);
  EXPECT_TRUE(*result) << result->error().line();
}

struct Safety : LoadWorld {
  void SetUp() override {
    LoadWorld::SetUp();
    connect();
    device.is_on = true;
    device.amps_set = "25.000";
  }
};

TEST_F(Safety, off_now_reaches_the_device_before_it_returns) {
  EXPECT_TRUE(load->off_now());
  EXPECT_FALSE(device.is_on);
}

TEST_F(Safety, off_now_works_while_a_read_is_suspended) {
  device.answer_delays["MEAS:VOLT?;:MEAS:CURR?"] = Second(0.2);
  std::optional<Result<Reading>> result;
  const Job job(clock.loop(), keep(load->sample(), result));
  ASSERT_FALSE(result);
  EXPECT_TRUE(load->off_now());
  EXPECT_FALSE(device.is_on);
  clock.run_for(Second(0.3));
  ASSERT_TRUE(result);
  EXPECT_TRUE(*result) << "the question that was out still gets its answer";
}

TEST_F(Safety, off_now_on_a_closed_link_says_that_nothing_was_sent) {
  load->close();
  EXPECT_FALSE(load->off_now());
}

TEST_F(Safety, make_safe_reads_the_state_back) {
  EXPECT_TRUE(run(load->make_safe()));
  EXPECT_THAT(device.heard, Contains("INP?"));
  EXPECT_FALSE(device.is_on);
}

TEST_F(Safety, make_safe_repeats_off_until_it_is_read_back) {
  device.swallowed["INP OFF"] = 3;
  EXPECT_TRUE(run(load->make_safe()));
  EXPECT_EQ(device.times_heard("INP OFF"), 4U);
  EXPECT_FALSE(device.is_on);
}

TEST_F(Safety, make_safe_fails_and_says_so_when_off_is_refused) {
  device.refuses_off = true;
  const Result<void> safe = run(load->make_safe());
  ASSERT_FALSE(safe);
  EXPECT_EQ(safe.error().code, Errc::not_verified);
  EXPECT_THAT(safe.error().line(), HasSubstr("not off: INP? answers 1"));
  EXPECT_EQ(device.times_heard("INP OFF"), 6U) << "three attempts: urgent and verified each";
}

TEST_F(Safety, make_safe_does_not_believe_a_state_that_the_current_denies) {
  device.answers["INP?"] = "0";
  device.refuses_off = true;
  device.answers["MEAS:VOLT?;:MEAS:CURR?"] = "11.900;24.800";
  const Result<void> safe = run(load->make_safe());
  ASSERT_FALSE(safe);
  EXPECT_THAT(safe.error().what, HasSubstr("current still flows"));
}

TEST_F(Safety, make_safe_on_a_lost_link_fails_at_once) {
  link->unplug();
  const Result<void> safe = run(load->make_safe());
  ASSERT_FALSE(safe);
  EXPECT_EQ(safe.error().code, Errc::link_lost);
}

TEST_F(Safety, does_not_switch_on_what_was_switched_off_while_it_waited) {
  profile.link.gap = Second(0.1);
  EXPECT_TRUE(run(load->sample()));
  device.is_on = false;
  std::optional<Result<void>> result;
  const Job job(clock.loop(), keep(load->enable(true), result));
  clock.run_for(Second(0.05));
  load->off_now();
  clock.run_for(Second(1.0));
  ASSERT_TRUE(result);
  ASSERT_FALSE(*result);
  EXPECT_EQ(result->error().code, Errc::stopped);
  EXPECT_THAT(device.heard, Not(Contains("INP ON")));
  EXPECT_FALSE(device.is_on);
}

}  // namespace
}  // namespace leadwright
