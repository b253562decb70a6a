// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/planner.h"

#include <gtest/gtest.h>

#include "tests/queue/planned_ticket.h"

namespace leadwright {
namespace {

TEST(Planner, begins_with_the_intake_check_at_a_bay) {
  const auto work = next_work(received(), Policy{});
  ASSERT_TRUE(work);
  EXPECT_EQ(work->procedure, procedure_name::intake);
  EXPECT_EQ(work->place_kind, PlaceKind::bay);
}

TEST(Planner, empties_no_battery_of_its_own_accord_where_its_owner_must_agree) {
  TicketFile file = ready_for_capacity();
  file.battery.nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  Policy policy;
  policy.high_rate_draw_required = true;
  policy.complete_discharge = CompleteDischarge::with_consent;
  add_run(file, procedure_name::half_cca_load);
  EXPECT_FALSE(next_work(file, policy));
  EXPECT_TRUE(ready_to_grade(file, policy));
  file.battery.nameplate.cca.reset();
  EXPECT_TRUE(ready_to_grade(ready_for_capacity(), policy))
      << "graded as it is: the grade says what is missing";
}

TEST(Planner, stops_the_discharge_early_where_the_policy_allows_it_and_tests_once) {
  TicketFile file = ready_for_capacity();
  Policy policy;
  policy.early_reached = true;
  EXPECT_EQ(next_work(file, policy)->procedure, procedure_name::until_decided);
  EXPECT_EQ(next(file), procedure_name::reserve_capacity);
  add_run(file, procedure_name::until_decided);
  EXPECT_TRUE(ready_to_grade(file, policy));
  EXPECT_NE(out_of_turn(file, policy, procedure_name::reserve_capacity), "")
      << "a stopped discharge has taken most of the charge";
}

TEST(Planner, charges_again_after_a_capacity_test_that_a_person_chose) {
  TicketFile file = ready_for_capacity();
  ASSERT_EQ(next(file), procedure_name::reserve_capacity);
  add_run(file, procedure_name::capacity_20h);
  EXPECT_EQ(next(file), procedure_name::charge) << "the battery is empty";
  EXPECT_NE(out_of_turn(file, Policy{}, procedure_name::reserve_capacity), "");
  add_run(file, procedure_name::conditioning);
  EXPECT_EQ(next(file), procedure_name::rest) << "the cycle ends with a charge";
}

TEST(Planner, charges_again_after_a_conditioning_cycle_that_was_stopped) {
  TicketFile file = ready_for_capacity();
  add_run(file, procedure_name::conditioning, RunOutcome::stopped);
  EXPECT_EQ(next(file), procedure_name::charge);
}

TEST(Planner, takes_pulses_for_the_resistance_and_retention_for_the_rest) {
  TicketFile file = received();
  add_run(file, procedure_name::intake);
  add_run(file, procedure_name::charge);
  add_run(file, procedure_name::retention);
  EXPECT_EQ(next(file), procedure_name::resistance);
  add_run(file, procedure_name::pulses);
  EXPECT_EQ(next(file), procedure_name::reserve_capacity);
}

TEST(Planner, lets_nothing_charge_before_the_intake_check) {
  for (const std::string_view each : {procedure_name::charge, procedure_name::recovery,
                                      procedure_name::conditioning, procedure_name::three_minute_charge}) {
    EXPECT_NE(out_of_turn(received(), Policy{}, each), "") << each;
  }
}

TEST(Planner, never_tests_a_discharged_battery_before_it_is_charged_and_rested) {
  TicketFile file = received();
  add_run(file, procedure_name::intake);
  add_finding(file, Measurand::ocv, 12.1);
  EXPECT_EQ(next(file), procedure_name::charge);
  EXPECT_EQ(next_work(file, Policy{})->place_kind, PlaceKind::charging);
  add_run(file, procedure_name::charge);
  EXPECT_EQ(next(file), procedure_name::rest);
  add_run(file, procedure_name::rest);
  add_finding(file, Measurand::soc, 0.99);
  EXPECT_EQ(next(file), procedure_name::resistance);
  add_run(file, procedure_name::resistance);
  EXPECT_EQ(next(file), procedure_name::reserve_capacity);
  add_run(file, procedure_name::reserve_capacity);
  EXPECT_EQ(next(file), "");
  EXPECT_TRUE(ready_to_grade(file, Policy{}));
}

TEST(Planner, rests_a_battery_that_reads_high_before_it_believes_it) {
  TicketFile file = received();
  add_run(file, procedure_name::intake);
  file.battery.nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  add_finding(file, Measurand::ocv, 12.7);
  const auto planned = [&] { return next_work(file, asks_for_load())->procedure; };
  EXPECT_EQ(planned(), procedure_name::rest);
  add_run(file, procedure_name::rest);
  add_finding(file, Measurand::soc, 0.6);
  EXPECT_EQ(planned(), procedure_name::charge) << "surface charge had hidden it";
}

TEST(Planner, starts_softly_what_came_deeply_discharged_and_only_once) {
  Policy policy;
  policy.deep_discharged_cell = Volt(1.83);
  TicketFile file = received();
  add_run(file, procedure_name::intake);
  add_finding(file, Measurand::ocv, 10.9);
  EXPECT_EQ(next_work(file, policy)->procedure, procedure_name::recovery);
  add_finding(file, Measurand::ocv, 11.1);
  EXPECT_EQ(next_work(file, policy)->procedure, procedure_name::charge) << "11.0 V is 1.83 V a cell";
  add_finding(file, Measurand::ocv, 10.9);
  add_run(file, procedure_name::recovery);
  add_run(file, procedure_name::half_cca_load);
  EXPECT_EQ(next_work(file, policy)->procedure, procedure_name::charge) << "it was brought up before";
}

TEST(Planner, charges_again_after_a_void_discharge) {
  TicketFile file = received();
  add_run(file, procedure_name::intake);
  add_run(file, procedure_name::charge);
  add_run(file, procedure_name::rest);
  add_finding(file, Measurand::soc, 0.95);
  add_run(file, procedure_name::resistance);
  add_run(file, procedure_name::reserve_capacity, RunOutcome::void_);
  EXPECT_EQ(next(file), procedure_name::charge);
  EXPECT_FALSE(ready_to_grade(file, Policy{}));
}

TEST(Planner, asks_for_a_recharge_after_the_grade_but_not_of_a_faulty_or_worn_out_battery) {
  TicketFile file = received();
  file.ticket.asked_procedures = {"reserve capacity"};
  add_run(file, procedure_name::reserve_capacity);
  file.ticket.needs_recharge = true;
  EXPECT_TRUE(ready_to_grade(file, Policy{}));
  EXPECT_EQ(next(file), procedure_name::recharge);
  file.grade.emplace();
  file.grade->letter = 'D';
  EXPECT_EQ(next(file), "") << "it is to be scrapped";
  file.grade->letter = 'C';
  EXPECT_EQ(next(file), procedure_name::recharge);
  file.faults.push_back({});
  EXPECT_EQ(next(file), "");
}

TEST(Planner, gives_a_person_the_word_after_three_failed_attempts) {
  TicketFile file = received();
  add_run(file, procedure_name::intake, RunOutcome::tripped);
  add_run(file, procedure_name::intake, RunOutcome::void_);
  EXPECT_TRUE(attempts_exhausted(file, procedure_name::intake).empty());
  add_run(file, procedure_name::intake, RunOutcome::stopped);
  EXPECT_NE(attempts_exhausted(file, procedure_name::intake).text().find("3 attempts"), std::string::npos);
  add_run(file, procedure_name::rest);
  file.runs.back().end_reason = "every step ended";
  const Sentence why = attempts_exhausted(file, procedure_name::intake);
  EXPECT_NE(why.text().find("as the test wants"), std::string::npos) << "the reason of its own last attempt";
}

TEST(Planner, plans_nothing_for_refused_held_or_closed_tickets) {
  for (const TicketState state : {TicketState::refused, TicketState::held, TicketState::closed}) {
    TicketFile file = received();
    file.ticket.state = state;
    EXPECT_EQ(next(file), "") << word(state);
    EXPECT_FALSE(ready_to_grade(file, Policy{}));
  }
}

TEST(Planner, expects_surface_charge_to_decay_and_a_drawn_battery_to_recover) {
  TicketFile file = received();
  EXPECT_FALSE(expected_volts(file));
  file.last_volts = Volt(12.8);
  add_run(file, procedure_name::charge);
  EXPECT_GT(expected_volts(file)->below_max, Volt(1.0));
  EXPECT_LT(expected_volts(file)->above_max, Volt(0.2));
  add_run(file, procedure_name::reserve_capacity);
  EXPECT_GT(expected_volts(file)->above_max, Volt(1.0));
  EXPECT_LT(expected_volts(file)->below_max, Volt(0.2));
}

TEST(Planner, a_charge_ends_the_rest_and_a_resistance_pulse_does_not) {
  TicketFile file = received();
  add_run(file, procedure_name::rest);
  EXPECT_TRUE(is_rested(file));
  add_run(file, procedure_name::resistance);
  EXPECT_TRUE(is_rested(file));
  add_run(file, procedure_name::charge);
  EXPECT_FALSE(is_rested(file));
}

TEST(Planner, a_bay_does_what_a_charging_place_does_but_not_the_reverse) {
  EXPECT_TRUE(place_serves(PlaceKind::bay, PlaceKind::charging));
  EXPECT_FALSE(place_serves(PlaceKind::charging, PlaceKind::bay));
  EXPECT_FALSE(place_serves(PlaceKind::shelf, PlaceKind::charging));
}

}  // namespace
}  // namespace leadwright
