// SPDX-License-Identifier: Apache-2.0
// Which test comes first, and from which state of charge: a load test from three quarters, a capacity test
// from full alone, and none where the load test has decided.
#include <gmock/gmock.h>

#include "daemon/battery/half_cca.h"
#include "tests/queue/planned_ticket.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;

TEST(Planner, charges_before_a_capacity_test_whatever_the_voltage_says) {
  for (const double soc : {0.76, 0.8, 0.99}) {
    TicketFile file = rested_at(soc);
    EXPECT_EQ(next(file), procedure_name::charge) << soc;
    add_run(file, procedure_name::charge, RunOutcome::stopped);
    EXPECT_EQ(next(file), procedure_name::charge) << "half a charge is none";
    add_run(file, procedure_name::charge);
    EXPECT_EQ(next(file), procedure_name::rest);
    add_run(file, procedure_name::rest);
    EXPECT_EQ(next(file), procedure_name::resistance);
    add_run(file, procedure_name::resistance);
    EXPECT_EQ(next(file), procedure_name::reserve_capacity);
  }
}

TEST(Planner, makes_the_load_test_first_and_without_a_charge_where_three_quarters_are_there) {
  TicketFile file = rested_at(0.8);
  const auto planned = [&] { return next_work(file, asks_for_load())->procedure; };
  EXPECT_EQ(planned(), procedure_name::resistance);
  add_run(file, procedure_name::resistance);
  EXPECT_EQ(planned(), procedure_name::half_cca_load);
  TicketFile flat = rested_at(0.7);
  EXPECT_EQ(next_work(flat, asks_for_load())->procedure, procedure_name::charge);
  file.battery.nameplate.cca.reset();
  EXPECT_EQ(planned(), procedure_name::charge) << "no cranking load can be told";
  file.battery.nameplate.c20 = Rating<Coulomb>{ampere_hours(60.0), RatingStandard::en};
  EXPECT_EQ(planned(), procedure_name::half_cca_load) << "a label without CCA says it by its Ah";
}

/// Rested at 80 %, its load test failed by far.
TicketFile failed_at_load() {
  TicketFile file = rested_at(0.8);
  add_load_test(file, -0.6);
  return file;
}

TEST(Planner, repeats_a_load_test_that_would_fail_a_battery_once_with_its_clamps_set_anew) {
  TicketFile file = failed_at_load();
  EXPECT_TRUE(clamps_to_rule_out(file, asks_for_load()));
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::half_cca_load) << "at once";
  EXPECT_FALSE(ready_to_grade(file, asks_for_load()));
  add_run(file, procedure_name::half_cca_load, RunOutcome::stopped);
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::charge) << "too little was left";
  add_run(file, procedure_name::charge);
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::rest);
  add_run(file, procedure_name::rest);
  add_load_test(file, -0.5);
  EXPECT_TRUE(clamps_to_rule_out(file, asks_for_load())) << "nobody has set them anew";
  mark_reseated(file.findings.back());
  EXPECT_FALSE(clamps_to_rule_out(file, asks_for_load()));
  EXPECT_TRUE(ready_to_grade(file, asks_for_load()));
}

TEST(Planner, charges_what_failed_a_load_test_by_little_before_it_is_repeated) {
  TicketFile file = rested_at(0.8);
  add_load_test(file, -0.2);
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::charge);
  add_run(file, procedure_name::charge);
  add_run(file, procedure_name::rest);
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::half_cca_load);
  add_load_test(file, -0.1);
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::half_cca_load) << "it was full";
  mark_reseated(file.findings.back());
  EXPECT_TRUE(ready_to_grade(file, asks_for_load()));
}

TEST(Planner, repeats_once_with_its_clamps_set_anew_a_load_test_that_lies_within_its_guard_band) {
  TicketFile file = ready_for_capacity();
  file.battery.nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  Policy with_consent = asks_for_load();
  with_consent.complete_discharge = CompleteDischarge::with_consent;
  add_load_test(file, 0.1, 0.1);
  EXPECT_TRUE(clamps_to_rule_out(file, with_consent));
  EXPECT_EQ(next_work(file, with_consent)->procedure, procedure_name::half_cca_load);
  add_load_test(file, 0.1, 0.1);
  mark_reseated(file.findings.back());
  EXPECT_TRUE(ready_to_grade(file, with_consent));
  add_load_test(file, 0.1, 0.1);
  EXPECT_FALSE(clamps_to_rule_out(file, with_consent)) << "that was done";
  TicketFile clear = ready_for_capacity();
  add_load_test(clear, 0.3, 0.1);
  EXPECT_FALSE(clamps_to_rule_out(clear, with_consent));
}

TEST(Planner, asks_about_no_clamps_where_the_letter_does_not_fall_on_the_load_test) {
  TicketFile passes = rested_at(0.8);
  add_load_test(passes, 0.5);
  EXPECT_FALSE(clamps_to_rule_out(passes, asks_for_load()));
  TicketFile cold = failed_at_load();
  add_finding(cold, Measurand::temperature, 10.0);
  Policy at_room_temperature = asks_for_load();
  at_room_temperature.coldest = Celsius(15.0);
  EXPECT_FALSE(clamps_to_rule_out(cold, at_room_temperature)) << "it is withdrawn";
  TicketFile worn = failed_at_load();
  worn.battery.nameplate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::en};
  add_run(worn, procedure_name::charge);
  add_run(worn, procedure_name::rest);
  add_run(worn, procedure_name::reserve_capacity);
  add_finding(worn, Measurand::reserve_capacity_ref, 20.0);
  EXPECT_FALSE(clamps_to_rule_out(worn, asks_for_load())) << "its minutes fail it as well";
}

TEST(Planner, repeats_a_load_test_that_collapsed_at_once_where_the_clamps_were_reseated) {
  TicketFile file = ready_for_capacity();
  file.battery.nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  add_run(file, procedure_name::half_cca_load, RunOutcome::stopped);
  file.has_collapsed = true;
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::rest);
  file.clamps_reseated = true;
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::half_cca_load);
  EXPECT_EQ(next_work(file, asks_for_load())->place_kind, PlaceKind::bay);
  add_run(file, procedure_name::charge);
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::rest)
      << "something else came between";
}

TEST(Planner, begins_a_capacity_test_anew_at_once_where_its_clamps_ended_it) {
  TicketFile file = ready_for_capacity();
  add_run(file, procedure_name::reserve_capacity, RunOutcome::stopped);
  file.runs.back().ended_at = file.runs.back().started_at + Second(75.0);
  EXPECT_EQ(next(file), procedure_name::reserve_capacity);
  EXPECT_EQ(out_of_turn(file, Policy{}, procedure_name::reserve_capacity), "");
  file.runs.back().ended_at = file.runs.back().started_at + minutes(10.0);
  EXPECT_EQ(next(file), procedure_name::charge);
}

TEST(Planner, charges_between_a_load_test_and_a_capacity_test_at_a_charging_place) {
  TicketFile file = ready_for_capacity();
  file.battery.nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  const auto planned = [&] { return *next_work(file, asks_for_load()); };
  EXPECT_EQ(planned().procedure, procedure_name::half_cca_load) << "full: no second charge before it";
  add_load_test(file, 0.5);
  EXPECT_EQ(planned().procedure, procedure_name::charge);
  EXPECT_EQ(planned().place_kind, PlaceKind::charging);
  add_run(file, procedure_name::charge);
  EXPECT_EQ(planned().procedure, procedure_name::rest);
  add_run(file, procedure_name::rest);
  EXPECT_EQ(planned().procedure, procedure_name::reserve_capacity) << "its resistance is known";
}

TEST(Planner, empties_no_battery_that_a_load_test_has_decided) {
  TicketFile file = rested_at(0.8);
  add_load_test(file, -0.5);
  mark_reseated(file.findings.back());
  EXPECT_FALSE(next_work(file, asks_for_load()));
  EXPECT_TRUE(ready_to_grade(file, asks_for_load()));
  file.ticket.asked_procedures = {std::string(procedure_name::reserve_capacity)};
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::reserve_capacity)
      << "what was asked for at drop-off is done";
}

TEST(Planner, measures_the_minutes_where_a_failed_load_test_decides_nothing) {
  TicketFile file = rested_at(0.8);
  add_load_test(file, -0.5);
  mark_reseated(file.findings.back());
  Policy minutes_decide = asks_for_load();
  minutes_decide.criteria.pop_back();
  EXPECT_EQ(next_work(file, minutes_decide)->procedure, procedure_name::charge);
  add_finding(file, Measurand::temperature, 10.0);
  Policy at_room_temperature = asks_for_load();
  at_room_temperature.coldest = Celsius(15.0);
  EXPECT_EQ(next_work(file, at_room_temperature)->procedure, procedure_name::charge)
      << "a load test that is withdrawn";
  EXPECT_FALSE(next_work(file, asks_for_load()));
}

TEST(Planner, tells_a_person_why_a_capacity_test_must_wait) {
  for (const std::string_view test :
       {procedure_name::reserve_capacity, procedure_name::until_decided, procedure_name::capacity_20h}) {
    TicketFile file = rested_at(0.95);
    EXPECT_THAT(out_of_turn(file, Policy{}, test), HasSubstr("the standard charge comes first")) << test;
    add_run(file, procedure_name::charge);
    EXPECT_THAT(out_of_turn(file, Policy{}, test), HasSubstr("the stability rest comes first")) << test;
    add_run(file, procedure_name::rest);
    EXPECT_EQ(out_of_turn(file, Policy{}, test), "") << test;
    add_load_test(file, 0.5);
    EXPECT_THAT(out_of_turn(file, Policy{}, test), HasSubstr("nothing drawn in between")) << test;
    file.ticket.asked_procedures = {std::string(test)};
    EXPECT_EQ(out_of_turn(file, Policy{}, test), "") << "asked for at drop-off";
  }
  EXPECT_EQ(out_of_turn(rested_at(0.8), Policy{}, procedure_name::half_cca_load), "");
}

}  // namespace
}  // namespace leadwright
