// SPDX-License-Identifier: Apache-2.0
// Each promise about what flows, broken on purpose by made-up events, and seen; and the nearest event that
// does not break it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tools/simtest_world/promises.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

constexpr const char* load = "memory:bay-1.load";
constexpr const char* charger = "memory:bay-1.charger";
constexpr Ampere none{0.0};
constexpr Ampere some{25.0};

class PromisesOfFlow : public testing::Test {
 protected:
  void SetUp() override {
    promises.add(load, {WireEar::Kind::scpi, Second(1.0), false});
    promises.add(charger, {WireEar::Kind::scpi, Second(2.0), false});
    promises.add("bay-1", WatchedPlace{load, charger, {}, false});
    promises.daemon_began(at(0.0));
    prove(load);
    prove(charger);
  }
  static Instant at(double second) { return Instant() + Second(second); }
  void prove(const char* link) {
    promises.crossing(link, true, "INP OFF\n", at(0.1));
    promises.crossing(link, true, "*ESE 1;INP?;*ESE?\n", at(0.1));
    promises.crossing(link, false, "0;1\n", at(0.2));
  }
  void draw_from(double second) {
    promises.crossing(load, true, "INP ON\n", at(second));
    promises.flows("bay-1", some, none, at(second));
  }
  void sample(double second) {
    promises.crossing(load, true, "*ESE 2;MEAS:VOLT?;:MEAS:CURR?;*ESE?\n", at(second));
    promises.crossing(load, false, "12.5;25.0;2\n", at(second));
  }
  std::vector<std::string> broken() const {
    std::vector<std::string> names;
    for (const Violation& each : promises.violations()) names.push_back(each.promise);
    return names;
  }
  Promises promises;
};

TEST_F(PromisesOfFlow, freshness_is_broken_by_current_after_the_last_sample_is_stale) {
  draw_from(100.0);
  sample(110.0);
  EXPECT_GT(promises.next_due(), at(111.3));
  EXPECT_LT(promises.next_due(), at(111.6));
  promises.time(at(111.3));
  EXPECT_THAT(broken(), IsEmpty());
  promises.time(at(111.6));
  promises.time(at(112.0));
  EXPECT_THAT(broken(), ElementsAre("freshness"));
}

TEST_F(PromisesOfFlow, freshness_is_kept_where_off_was_said_in_time) {
  draw_from(100.0);
  sample(110.0);
  promises.crossing(load, true, "INP OFF\n", at(111.0));
  promises.flows("bay-1", none, none, at(111.0));
  promises.time(at(200.0));
  EXPECT_THAT(broken(), IsEmpty());
  EXPECT_EQ(promises.next_due(), Instant::never());
}

TEST_F(PromisesOfFlow, freshness_is_broken_by_a_watchdog_that_does_not_end_a_dead_daemons_current) {
  promises.add(load, {WireEar::Kind::scpi, Second(1.0), true});
  prove(load);
  draw_from(100.0);
  promises.daemon_died(at(101.0));
  promises.time(at(106.0));
  EXPECT_THAT(broken(), IsEmpty());
  promises.time(at(107.0));
  EXPECT_THAT(broken(), ElementsAre("freshness"));
}

TEST_F(PromisesOfFlow, nothing_is_promised_of_a_watchdog_that_is_broken) {
  promises.add(load, {WireEar::Kind::scpi, Second(1.0), true});
  prove(load);
  promises.broken(load, true);
  draw_from(100.0);
  promises.daemon_died(at(101.0));
  promises.time(at(200.0));
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFlow, freshness_is_broken_by_an_isolator_that_lets_a_dead_daemons_current_flow_on) {
  promises.add("bay-1", WatchedPlace{load, charger, {}, true});
  draw_from(100.0);
  promises.daemon_died(at(101.0));
  promises.time(at(107.0));
  EXPECT_THAT(broken(), ElementsAre("freshness"));
}

TEST_F(PromisesOfFlow, one_way_is_broken_by_load_and_charger_at_once) {
  promises.flows("bay-1", some, none, at(10.0));
  promises.flows("bay-1", none, some, at(11.0));
  EXPECT_THAT(broken(), IsEmpty());
  promises.flows("bay-1", some, some, at(12.0));
  EXPECT_THAT(broken(), ElementsAre("one_way"));
}

TEST_F(PromisesOfFlow, shouted_is_broken_by_current_after_off_of_which_nobody_says_anything) {
  draw_from(100.0);
  promises.crossing(load, true, "INP OFF\n", at(101.0));
  promises.time(at(130.0));
  EXPECT_THAT(broken(), IsEmpty());
  promises.says("bay-1", "off could not be verified", false, at(130.5));
  promises.time(at(132.0));
  EXPECT_THAT(broken(), IsEmpty()) << "it says so";
  promises.trip_acknowledged("bay-1");
  promises.says("bay-1", "", false, at(140.0));
  promises.time(at(165.0));
  EXPECT_THAT(broken(), IsEmpty()) << "it may still say so again";
  promises.time(at(171.0));
  EXPECT_THAT(broken(), ElementsAre("shouted"));
}

TEST_F(PromisesOfFlow, shouted_is_broken_by_a_trip_that_goes_away_by_itself) {
  promises.says("bay-1", "too hot", false, at(10.0));
  promises.says("bay-1", "", false, at(20.0));
  EXPECT_THAT(broken(), ElementsAre("shouted"));
}

TEST_F(PromisesOfFlow, shouted_is_broken_by_a_trip_that_a_restart_forgets) {
  promises.says("bay-1", "too hot", false, at(10.0));
  promises.daemon_died(at(100.0));
  promises.daemon_began(at(105.0));
  promises.says("bay-1", "", false, at(105.0));
  EXPECT_THAT(broken(), ElementsAre("shouted"));
}

TEST_F(PromisesOfFlow, shouted_is_kept_where_a_trip_is_acknowledged_at_the_instant_of_the_restart) {
  promises.says("bay-1", "too hot", false, at(10.0));
  promises.daemon_died(at(100.0));
  promises.daemon_began(at(105.0));
  promises.trip_acknowledged("bay-1");
  promises.says("bay-1", "", false, at(105.0));
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFlow, a_store_that_failed_until_the_kill_may_forget_a_trip) {
  promises.says("bay-1", "too hot", false, at(10.0));
  promises.store_fails(true, at(9.0));
  promises.store_fails(false, at(99.0));
  promises.daemon_died(at(100.0));
  promises.daemon_began(at(105.0));
  promises.says("bay-1", "", false, at(105.0));
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFlow, a_trip_that_its_daemon_had_no_time_to_store_may_be_forgotten_however_long_it_is_dead) {
  promises.says("bay-1", "too hot", false, at(90.0));
  promises.store_is_late(at(99.0));
  promises.daemon_died(at(100.0));
  promises.daemon_began(at(300.0));
  promises.says("bay-1", "", false, at(300.0));
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFlow, shouted_is_broken_by_a_forgotten_trip_also_where_the_store_fails_after_the_kill) {
  promises.says("bay-1", "too hot", false, at(10.0));
  promises.daemon_died(at(100.0));
  promises.store_fails(true, at(101.0));
  promises.daemon_began(at(105.0));
  promises.says("bay-1", "", false, at(105.0));
  EXPECT_THAT(broken(), ElementsAre("shouted"));
}

TEST_F(PromisesOfFlow, safe_start_is_broken_by_switching_on_before_the_partner_was_proved_off) {
  promises.daemon_died(at(50.0));
  promises.daemon_began(at(60.0));
  prove(load);
  promises.crossing(load, true, "INP ON\n", at(70.0));
  EXPECT_THAT(broken(), ElementsAre("safe_start"));
}

TEST_F(PromisesOfFlow, safe_start_is_kept_when_both_were_proved_off) {
  promises.daemon_died(at(50.0));
  promises.daemon_began(at(60.0));
  prove(load);
  prove(charger);
  promises.crossing(load, true, "INP ON\n", at(70.0));
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFlow, right_one_is_broken_by_a_run_that_switches_on_what_was_another_one_when_it_began) {
  prove(load);
  promises.other_answers(load, true, at(10.0));
  promises.run_goes_on("bay-1", at(20.0));
  draw_from(30.0);
  draw_from(31.0);
  EXPECT_THAT(broken(), ElementsAre("right_one"));
}

TEST_F(PromisesOfFlow, right_one_is_kept_where_the_plug_was_moved_during_the_run_or_is_back) {
  prove(load);
  promises.run_goes_on("bay-1", at(20.0));
  promises.other_answers(load, true, at(21.0));
  draw_from(30.0);
  promises.other_answers(load, false, at(40.0));
  promises.run_goes_on("bay-1", at(50.0));
  draw_from(51.0);
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFlow, right_one_is_not_promised_by_a_daemon_that_never_knew_the_right_one) {
  promises.daemon_died(at(50.0));
  promises.other_answers(load, true, at(55.0));
  promises.daemon_began(at(60.0));
  prove(load);
  prove(charger);
  promises.run_goes_on("bay-1", at(61.0));
  draw_from(62.0);
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFlow, limits_is_broken_by_a_draw_that_goes_on_below_the_least_volts) {
  draw_from(100.0);
  promises.too_low("bay-1", true, at(100.5));
  sample(101.5);
  promises.time(at(102.0));
  EXPECT_THAT(broken(), IsEmpty());
  sample(102.5);
  promises.time(at(102.6));
  EXPECT_THAT(broken(), ElementsAre("limits"));
}

TEST_F(PromisesOfFlow, limits_says_nothing_of_a_meter_that_lies) {
  promises.broken(load, true);
  draw_from(100.0);
  promises.too_low("bay-1", true, at(100.5));
  sample(102.5);
  promises.time(at(102.6));
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFlow, apart_is_broken_by_two_batteries_that_were_joined) {
  promises.joined(0, at(1.0));
  EXPECT_THAT(broken(), IsEmpty());
  promises.joined(1, at(2.0));
  promises.joined(1, at(3.0));
  EXPECT_THAT(broken(), ElementsAre("apart"));
}

TEST_F(PromisesOfFlow, gas_gone_is_broken_by_a_heavy_draw_too_soon_after_the_charge_and_told_once) {
  promises.gas_off(Second(60.0));
  promises.worked(TicketId{1}, none, Ampere(5.0), at(10.0));
  promises.worked(TicketId{1}, none, none, at(100.0));
  promises.daemon_died(at(110.0));
  promises.daemon_began(at(120.0));
  promises.worked(TicketId{1}, Ampere(50.0), none, at(159.0));
  promises.worked(TicketId{1}, Ampere(60.0), none, at(159.5));
  EXPECT_THAT(broken(), ElementsAre("gas_gone"));
}

TEST_F(PromisesOfFlow, gas_gone_allows_a_light_draw_and_another_tickets_and_a_heavy_one_after_the_wait) {
  promises.gas_off(Second(60.0));
  promises.worked(TicketId{1}, none, Ampere(5.0), at(10.0));
  promises.worked(TicketId{1}, none, none, at(100.0));
  promises.worked(TicketId{1}, some, none, at(101.0));
  promises.worked(TicketId{2}, Ampere(50.0), none, at(101.0));
  promises.worked(TicketId{1}, Ampere(50.0), none, at(160.0));
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFlow, gas_gone_is_broken_by_a_battery_that_may_be_unclamped_too_soon_after_the_charge) {
  promises.gas_off(Second(60.0));
  promises.worked(TicketId{1}, none, Ampere(5.0), at(10.0));
  promises.worked(TicketId{1}, none, none, at(100.0));
  promises.unclamped(TicketId{2}, at(110.0));
  promises.unclamped(TicketId{1}, at(160.0));
  EXPECT_THAT(broken(), IsEmpty());
  promises.unclamped(TicketId{1}, at(159.0));
  EXPECT_THAT(broken(), ElementsAre("gas_gone"));
}

}  // namespace
}  // namespace leadwright
