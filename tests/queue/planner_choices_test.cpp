// SPDX-License-Identifier: Apache-2.0
// The chain with a policy that has figures: which test comes first, and where a battery rests.
#include <gmock/gmock.h>

#include "daemon/queue/outlook.h"
#include "daemon/queue/planner_choices.h"
#include "tests/queue/planned_ticket.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

/// A load test decides nothing below 5 V of resistance times cranking current, and most above.
Policy with_figures() {
  Policy policy = asks_for_load();
  policy.triage.emplace();
  policy.triage->bay_hour = minutes(5.0);
  policy.triage->rows = {{false, Volt(0.0), 199, 0, 10, 0},
                         {false, Volt(5.0), 99, 75, 60, 50},
                         {true, Volt(0.0), 199, 50, 20, 10}};
  return policy;
}

/// Came flat; charged, rested, with this resistance.
TicketFile full_with(Ohm resistance) {
  TicketFile file = received();
  file.battery.nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  file.battery.nameplate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::en};
  add_run(file, procedure_name::intake);
  add_finding(file, Measurand::ocv, 12.0);
  add_run(file, procedure_name::charge);
  add_run(file, procedure_name::rest);
  add_finding(file, Measurand::soc, 0.99);
  add_run(file, procedure_name::resistance);
  add_finding(file, Measurand::resistance, resistance.si());
  return file;
}

std::string chosen_next(const TicketFile& file, const Policy& policy = with_figures()) {
  const auto work = next_work(file, policy);
  return work ? work->procedure : "";
}

TEST(PlannerChoices, has_the_minutes_before_a_load_test_that_decides_nothing_and_the_load_test_after_all) {
  TicketFile file = full_with(Ohm(0.004));
  EXPECT_EQ(chosen_next(file), procedure_name::reserve_capacity) << "2.6 V";
  add_run(file, procedure_name::reserve_capacity);
  add_finding(file, Measurand::reserve_capacity_ref, 105.0);
  EXPECT_FALSE(ready_to_grade(file, with_figures()));
  EXPECT_EQ(chosen_next(file), procedure_name::charge);
  add_run(file, procedure_name::charge);
  EXPECT_EQ(chosen_next(file), procedure_name::rest);
  add_run(file, procedure_name::rest);
  EXPECT_EQ(chosen_next(file), procedure_name::half_cca_load);
  add_run(file, procedure_name::half_cca_load);
  add_finding(file, Measurand::load_margin, 0.9);
  EXPECT_TRUE(ready_to_grade(file, with_figures()));
}

TEST(PlannerChoices, makes_no_load_test_where_the_minutes_have_failed_a_battery) {
  TicketFile file = full_with(Ohm(0.004));
  add_run(file, procedure_name::reserve_capacity);
  add_finding(file, Measurand::reserve_capacity_ref, 20.0);
  EXPECT_EQ(chosen_next(file), "");
  EXPECT_TRUE(ready_to_grade(file, with_figures()));
}

TEST(PlannerChoices, makes_no_load_test_before_what_must_begin_anew) {
  TicketFile file = full_with(Ohm(0.004));
  std::erase_if(file.runs,
                [](const leadwright::Run& run) { return run.procedure == procedure_name::charge; });
  add_run(file, procedure_name::reserve_capacity);
  add_finding(file, Measurand::reserve_capacity_ref, 85.0);
  EXPECT_EQ(chosen_next(file), "") << "nothing shows that it was full: it is graded so, and charged";
  EXPECT_TRUE(ready_to_grade(file, with_figures()));
}

TEST(PlannerChoices, has_the_load_test_first_where_the_resistance_says_that_it_decides) {
  EXPECT_EQ(chosen_next(full_with(Ohm(0.009))), procedure_name::half_cca_load) << "5.8 V";
}

TEST(PlannerChoices, keeps_the_chain_as_it_is_without_figures) {
  Policy without = with_figures();
  without.triage->rows.clear();
  EXPECT_EQ(chosen_next(full_with(Ohm(0.004)), without), procedure_name::half_cca_load);
  EXPECT_EQ(chosen_next(full_with(Ohm(0.004)), asks_for_load()), procedure_name::half_cca_load);
  TicketFile no_rating = full_with(Ohm(0.004));
  no_rating.battery.nameplate.reserve_capacity.reset();
  EXPECT_EQ(chosen_next(no_rating), procedure_name::half_cca_load) << "its minutes are compared with nothing";
}

TEST(PlannerChoices, keeps_what_was_asked_for_what_is_faulty_and_the_intake_check_out_of_it) {
  TicketFile asked = full_with(Ohm(0.004));
  asked.ticket.asked_procedures = {std::string(procedure_name::half_cca_load)};
  EXPECT_EQ(chosen_next(asked), procedure_name::half_cca_load);
  TicketFile faulty = full_with(Ohm(0.004));
  faulty.faults.push_back({});
  EXPECT_EQ(chosen_next(faulty), "");
  EXPECT_EQ(chosen_next(received()), procedure_name::intake);
}

TEST(PlannerChoices, lets_it_stand_on_its_shelf_after_a_load_test_without_another_charge) {
  TicketFile file = full_with(Ohm(0.004));
  EXPECT_TRUE(is_full_but_for_a_load_test(file, with_figures()));
  add_run(file, procedure_name::half_cca_load);
  EXPECT_TRUE(is_full_but_for_a_load_test(file, with_figures()));
  add_run(file, procedure_name::reserve_capacity);
  EXPECT_FALSE(is_full_but_for_a_load_test(file, with_figures()));
}

/// Just checked at the bay where it stands.
TicketFile checked_at(const std::string& place) {
  TicketFile file = received();
  file.battery.nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  add_run(file, procedure_name::intake);
  add_finding(file, Measurand::ocv, 12.7);
  file.runs.back().place = place;
  file.ticket.place = place;
  return file;
}

TEST(PlannerChoices, rests_a_charged_battery_at_its_bay_where_that_costs_less_than_two_ways) {
  Policy cheap = with_figures();
  cheap.complete_discharge = CompleteDischarge::never;
  cheap.triage->bay_hour = minutes(1.0);
  TicketFile file = checked_at("bay-1");
  EXPECT_EQ(next_work(file, cheap)->procedure, procedure_name::rest);
  EXPECT_EQ(next_work(file, cheap)->place_kind, PlaceKind::bay);
  Policy dear = cheap;
  dear.triage->bay_hour = minutes(6.0);
  EXPECT_EQ(next_work(file, dear)->place_kind, PlaceKind::charging);
  file.ticket.place = "charge-1";
  EXPECT_EQ(next_work(file, cheap)->place_kind, PlaceKind::charging) << "somebody carried it there";
}

TEST(PlannerChoices, are_told_in_the_outlook_with_their_figures) {
  const auto ahead =
      outlook_of(full_with(Ohm(0.004)), with_figures(), [](const Work&) { return hours(1.0); });
  ASSERT_FALSE(ahead.empty());
  EXPECT_EQ(ahead.front().work.procedure, procedure_name::reserve_capacity);
  EXPECT_THAT(ahead.front().why.text(), HasSubstr("Minutes first"));
  EXPECT_THAT(ahead.front().why.text(), HasSubstr("Load test first: it alone decides 0 %"));
}

}  // namespace
}  // namespace leadwright
