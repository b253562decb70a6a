// SPDX-License-Identifier: Apache-2.0
// Samples and settings of an instrument over a memory link in virtual time.
#include "drivers/instrument.h"

#include <gmock/gmock.h>

#include "world.h"

namespace leadwright {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

const std::string sample_question = "MEAS:VOLT?;:MEAS:CURR?";

struct InstrumentTest : LoadWorld {
  void SetUp() override {
    LoadWorld::SetUp();
    connect();
  }
};

TEST_F(InstrumentTest, samples_volts_and_amps_in_one_message) {
  device.is_on = true;
  device.amps_set = "25.0";
  const Result<Reading> reading = run(load->sample());
  ASSERT_TRUE(reading);
  EXPECT_EQ(reading->volts, Volt(12.6));
  EXPECT_EQ(reading->amps, Ampere(25.0));
  EXPECT_FALSE(reading->temperature);
  EXPECT_THAT(device.heard, ElementsAre(sample_question));
}

TEST_F(InstrumentTest, stamps_a_sample_with_the_middle_of_its_exchange) {
  device.answer_delays[sample_question] = Second(0.1);
  const Instant before = clock.now();
  const Result<Reading> reading = run(load->sample());
  ASSERT_TRUE(reading);
  EXPECT_EQ(reading->at, before + Second(0.05));
}

TEST_F(InstrumentTest, counts_an_overload_as_missing_and_never_as_a_number) {
  device.answers[sample_question] = "9.9E37;NAN";
  const Result<Reading> reading = run(load->sample());
  ASSERT_TRUE(reading);
  EXPECT_FALSE(reading->volts);
  EXPECT_FALSE(reading->amps);
}

TEST_F(InstrumentTest, refuses_a_sample_with_too_few_fields_instead_of_guessing_which_is_which) {
  device.answers[sample_question] = "12.6";
  const Result<Reading> reading = run(load->sample());
  ASSERT_FALSE(reading);
  EXPECT_EQ(reading.error().code, Errc::garbled);
}

TEST_F(InstrumentTest, never_pairs_a_late_answer_with_another_question) {
  // The first answer comes 100 ms after the time-out, while the next question may already be out.
  device.answer_delays["CURR?"] = Second(0.4);
  device.answers["CURR?"] = "99.000";
  EXPECT_FALSE(run(load->set_amps(Ampere(10.0))));
  device.volts = "11.000";
  for (int i = 0; i < 5; ++i) {
    const Result<Reading> reading = run(load->sample());
    ASSERT_TRUE(reading) << reading.error().line();
    EXPECT_EQ(reading->volts, Volt(11.0));
  }
}

/// An instrument whose questions carry no number: only a fence tells a late answer from a right one.
struct UntaggedInstrument : InstrumentTest {
  UntaggedInstrument() { profile.errors.tag = false; }
};

TEST_F(UntaggedInstrument, discards_a_late_sample_by_its_fence) {
  device.volts = "13.000";
  device.answer_delays[sample_question] = Second(0.33);
  std::optional<Result<Reading>> result;
  const Job job(clock.loop(), keep(load->sample(), result));
  clock.run_for(Second(0.31));
  device.answer_delays.clear();
  device.volts = "11.000";
  clock.run_for(Second(1.0));
  ASSERT_TRUE(result);
  ASSERT_TRUE(*result) << result->error().line();
  EXPECT_EQ((*result)->volts, Volt(11.0));
  EXPECT_THAT(device.heard, Contains(HasSubstr("*ESE ")));
  EXPECT_EQ(load->counters().time_outs, 1U);
  EXPECT_EQ(load->counters().retries, 1U);
}

TEST_F(InstrumentTest, gives_up_a_sample_inside_the_freshness_limit) {
  device.is_mute = true;
  const Instant before = clock.now();
  const Result<Reading> reading = run(load->sample());
  ASSERT_FALSE(reading);
  EXPECT_EQ(reading.error().code, Errc::timed_out);
  EXPECT_LE(clock.now() - before, profile.stale + Conversation::quieten_time_max);
  EXPECT_EQ(load->state(), LinkState::degraded);
}

TEST_F(InstrumentTest, is_ready_again_after_the_next_answer) {
  device.is_mute = true;
  EXPECT_FALSE(run(load->sample()));
  device.is_mute = false;
  EXPECT_TRUE(run(load->sample()));
  EXPECT_EQ(load->state(), LinkState::ready);
}

TEST_F(InstrumentTest, sets_reads_back_and_asks_for_errors) {
  EXPECT_TRUE(run(load->set_amps(Ampere(5.0))));
  EXPECT_THAT(device.heard, ElementsAre("CURR 5.000", "CURR?", "SYST:ERR?"));
}

TEST_F(InstrumentTest, says_so_when_the_read_back_differs) {
  device.answers["CURR?"] = "4.000";
  const Result<void> set = run(load->set_amps(Ampere(5.0)));
  ASSERT_FALSE(set);
  EXPECT_EQ(set.error().code, Errc::not_verified);
  EXPECT_THAT(set.error().line(), HasSubstr("CURR? answers 4.000 where 5.000 is expected"));
}

TEST_F(InstrumentTest, sends_a_setting_again_that_was_lost_on_the_way) {
  device.swallowed["CURR 5.000"] = 1;
  EXPECT_TRUE(run(load->set_amps(Ampere(5.0))));
  EXPECT_EQ(device.times_heard("CURR 5.000"), 2U);
}

TEST_F(InstrumentTest, verifies_every_field_of_a_read_back) {
  device.answers["CURR:PROT?;:CURR:PROT:STAT?"] = "30.000;0";
  const Result<void> set = run(load->trip_amps(Ampere(30.0)));
  ASSERT_FALSE(set);
  EXPECT_THAT(set.error().what, HasSubstr("answers 0 where 1 is expected"));
}

TEST_F(InstrumentTest, reports_the_instruments_own_error_with_the_command) {
  device.errors = "-222,\"Data out of range\"";
  const Result<void> set = run(load->set_amps(Ampere(5.0)));
  ASSERT_TRUE(set) << "the second try finds an empty queue";
  device.answers["SYST:ERR?"] = "-222,\"Data out of range\"";
  const Result<void> again = run(load->set_amps(Ampere(6.0)));
  ASSERT_FALSE(again);
  EXPECT_THAT(again.error().what, HasSubstr("-222,\"Data out of range\" after CURR 6.000"));
}

TEST_F(InstrumentTest, refuses_values_outside_the_range_without_sending_them) {
  for (const double amps : {-1.0, 100.1, std::numeric_limits<double>::quiet_NaN()}) {
    const Result<void> set = run(load->set_amps(Ampere(amps)));
    ASSERT_FALSE(set) << amps;
    EXPECT_EQ(set.error().code, Errc::bad_input);
  }
  EXPECT_TRUE(device.heard.empty());
}

TEST_F(InstrumentTest, says_what_it_cannot_do) {
  const Result<void> set = run(load->set_volts(Volt(12.0)));
  ASSERT_FALSE(set);
  EXPECT_EQ(set.error().code, Errc::unsupported);
}

TEST_F(InstrumentTest, switches_on_only_with_the_state_read_back) {
  EXPECT_TRUE(run(load->enable(true)));
  EXPECT_TRUE(device.is_on);
  device.answers["INP?"] = "0";
  const Result<void> refused = run(load->enable(true));
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, Errc::not_verified);
}

TEST_F(InstrumentTest, names_the_protection_that_tripped) {
  const std::string ask = "INP:CUT:TRIP?;:CURR:PROT:TRIP?;:VOLT:PROT:TRIP?";
  device.answers[ask] = "0;0;0";
  EXPECT_EQ(run(load->faults()), "");
  device.answers[ask] = "1;0;1";
  EXPECT_EQ(run(load->faults()), "low-voltage cut-off, over-voltage trip");
}

TEST_F(InstrumentTest, sees_a_power_cycle_in_bit_7_of_the_event_status) {
  EXPECT_EQ(run(load->power_was_cycled()), false);
  device.answers["*ESR?"] = "+128";
  EXPECT_EQ(run(load->power_was_cycled()), true);
}

TEST_F(InstrumentTest, is_lost_once_the_cable_is_pulled) {
  std::optional<Result<Reading>> result;
  device.is_mute = true;
  const Job job(clock.loop(), keep(load->sample(), result));
  link->unplug();
  clock.run_for(Second(0.0));
  ASSERT_TRUE(result) << "a pending read must end at once";
  EXPECT_EQ(result->error().code, Errc::link_lost);
  EXPECT_EQ(load->state(), LinkState::lost);
}

TEST_F(UntaggedInstrument, starts_in_step_after_an_exchange_was_abandoned) {
  device.answer_delays[sample_question] = Second(0.01);
  {
    std::optional<Result<Reading>> abandoned;
    const Job job(clock.loop(), keep(load->sample(), abandoned));
  }
  device.answer_delays.clear();
  device.volts = "10.500";
  const Result<Reading> reading = run(load->sample());
  ASSERT_TRUE(reading);
  EXPECT_EQ(reading->volts, Volt(10.5));
  EXPECT_THAT(device.heard, Contains(HasSubstr("*ESE ")));
}

TEST_F(InstrumentTest, keeps_the_gap_between_messages) {
  profile.link.gap = Second(0.02);
  EXPECT_TRUE(run(load->sample()));
  const Instant first = clock.now();
  EXPECT_TRUE(run(load->sample()));
  EXPECT_EQ(clock.now() - first, Second(0.02));
}

TEST_F(InstrumentTest, waits_its_turn_while_another_question_is_out) {
  device.answer_delays[sample_question] = Second(0.1);
  std::optional<Result<Reading>> first;
  std::optional<Result<bool>> second;
  const Job one(clock.loop(), keep(load->sample(), first));
  const Job two(clock.loop(), keep(load->power_was_cycled(), second));
  EXPECT_THAT(device.heard, Not(Contains("*ESR?")));
  clock.run_for(Second(0.2));
  ASSERT_TRUE(first && second);
  EXPECT_TRUE(*first);
  EXPECT_TRUE(*second);
}

}  // namespace
}  // namespace leadwright
