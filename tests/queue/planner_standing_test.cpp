// SPDX-License-Identifier: Apache-2.0
// When a battery that its tests would keep in service stands on a shelf before the grade, and when it does
// not.
#include <gmock/gmock.h>

#include "tests/queue/planned_ticket.h"

namespace leadwright {
namespace {

Utc hour(double after) {
  return Utc(0) + hours(after);
}

/// Looks for self-discharge in what came flat; minutes decide alone.
Policy watches() {
  Policy policy;
  policy.retention.emplace();
  return policy;
}

void end_run(TicketFile& file, double at_h) {
  file.runs.back().ended_at = hour(at_h);
  for (Finding& finding : file.findings) {
    if (finding.run == file.runs.back().id) finding.at = hour(at_h);
  }
}

/// Rated 100 min, measured at these minutes; the last run ended after 30 h.
TicketFile measured_at(double minutes_, double came_v) {
  TicketFile file = received();
  file.battery.nameplate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::en};
  add_run(file, procedure_name::intake);
  add_finding(file, Measurand::ocv, came_v);
  end_run(file, 1.0);
  add_run(file, procedure_name::charge);
  add_run(file, procedure_name::rest);
  add_finding(file, Measurand::soc, 0.99);
  end_run(file, 12.0);
  add_run(file, procedure_name::resistance);
  add_run(file, procedure_name::reserve_capacity);
  add_finding(file, Measurand::reserve_capacity_ref, minutes_);
  file.findings.back().u = 1.5;
  end_run(file, 30.0);
  return file;
}

void add_look(TicketFile& file, double at_h, double volts) {
  add_run(file, procedure_name::standing);
  file.runs.back().instruments = {{"charging-1.charger", "one", "", false}};
  add_finding(file, Measurand::ocv, volts);
  file.findings.back().budget = {{"voltmeter", "", 0.006}};
  add_finding(file, Measurand::temperature, 20.0);
  end_run(file, at_h);
}

std::string planned(const TicketFile& file) {
  const auto work = next_work(file, watches());
  return work ? work->procedure : "";
}

TEST(PlannerStanding, charges_what_came_flat_and_is_else_good_and_looks_at_it_twice_on_its_shelf) {
  TicketFile file = measured_at(90.0, 11.9);
  EXPECT_EQ(planned(file), procedure_name::recharge) << "full first: it leaves as it was watched";
  EXPECT_FALSE(ready_to_grade(file, watches()));
  add_run(file, procedure_name::recharge);
  end_run(file, 40.0);
  const auto first = next_work(file, watches());
  ASSERT_EQ(first->procedure, procedure_name::standing);
  EXPECT_EQ(first->not_before, hour(64.0)) << "the day after a charge does not count";
  EXPECT_EQ(first->place_kind, PlaceKind::charging) << "two minutes at a meter need no bay";
  add_look(file, 65.0, 12.70);
  EXPECT_EQ(next_work(file, watches())->not_before, hour(85.0));
  add_look(file, 86.0, 12.699);
  EXPECT_EQ(planned(file), "");
  EXPECT_TRUE(ready_to_grade(file, watches()));
}

TEST(PlannerStanding, looks_again_where_a_look_came_too_early) {
  TicketFile file = measured_at(90.0, 11.9);
  add_run(file, procedure_name::recharge);
  end_run(file, 40.0);
  add_look(file, 50.0, 12.90);
  EXPECT_EQ(next_work(file, watches())->not_before, hour(64.0));
}

TEST(PlannerStanding, grades_at_once_what_is_worn_or_came_charged_or_is_not_asked_about) {
  EXPECT_TRUE(ready_to_grade(measured_at(40.0, 11.9), watches()));
  EXPECT_TRUE(ready_to_grade(measured_at(90.0, 12.65), watches()));
  EXPECT_TRUE(ready_to_grade(measured_at(90.0, 11.9), Policy{}));
  TicketFile asked = measured_at(90.0, 11.9);
  asked.ticket.asked_procedures = {std::string(procedure_name::reserve_capacity)};
  EXPECT_TRUE(ready_to_grade(asked, watches())) << "only what was asked for at drop-off";
}

TEST(PlannerStanding, a_look_disturbs_neither_a_full_charge_nor_a_rest) {
  TicketFile file = ready_for_capacity();
  add_look(file, 20.0, 12.7);
  EXPECT_TRUE(is_rested(file));
  EXPECT_EQ(next(file), procedure_name::reserve_capacity);
  EXPECT_EQ(state_during(procedure_name::standing), TicketState::resting);
}

}  // namespace
}  // namespace leadwright
