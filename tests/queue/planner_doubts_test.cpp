// SPDX-License-Identifier: Apache-2.0
// A charge that did not fill, and attempts that came to nothing.
#include <gtest/gtest.h>

#include "daemon/battery/half_cca.h"
#include "tests/queue/planned_ticket.h"

namespace leadwright {
namespace {

/// Its charge was completed, and it rests at this state of charge.
TicketFile charged_to(double soc) {
  TicketFile file = rested_at(0.4);
  add_run(file, procedure_name::charge);
  add_finding(file, Measurand::returned, 9.0);
  add_run(file, procedure_name::rest);
  add_finding(file, Measurand::soc, soc);
  return file;
}

TEST(PlannerDoubts, charges_once_more_what_a_finished_charge_has_left_far_from_full) {
  TicketFile file = charged_to(0.6);
  EXPECT_TRUE(charge_in_doubt(file, asks_for_load()));
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::charge);
  EXPECT_EQ(next(file), procedure_name::charge) << "before a capacity test as well";
  add_run(file, procedure_name::charge);
  add_finding(file, Measurand::returned, 20.0);
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::rest);
  EXPECT_FALSE(charge_in_doubt(charged_to(0.8), asks_for_load()));
}

TEST(PlannerDoubts, leave_to_the_battery_what_it_does_not_take_in_clamps_that_were_set_anew) {
  TicketFile file = charged_to(0.6);
  EXPECT_FALSE(charged_after_reseating(file));
  add_run(file, procedure_name::charge);
  add_finding(file, Measurand::returned, 2.0);
  mark_reseated(file.findings.back());
  EXPECT_TRUE(charged_after_reseating(file));
  add_run(file, procedure_name::rest);
  add_finding(file, Measurand::soc, 0.6);
  EXPECT_FALSE(charge_in_doubt(file, asks_for_load()));
  EXPECT_EQ(next_work(file, asks_for_load())->procedure, procedure_name::resistance);
}

TEST(PlannerDoubts, ask_nothing_of_a_charge_whose_rest_has_not_told_yet) {
  TicketFile file = rested_at(0.4);
  add_run(file, procedure_name::charge);
  add_run(file, procedure_name::rest);
  EXPECT_FALSE(charge_in_doubt(file, asks_for_load())) << "what it came with says nothing of its charge";
}

TEST(PlannerDoubts, count_attempts_anew_after_a_charge) {
  TicketFile file = received();
  for (int i = 0; i < attempts_max; ++i) add_run(file, procedure_name::intake, RunOutcome::stopped);
  EXPECT_FALSE(attempts_exhausted(file, procedure_name::intake).empty());
  add_run(file, procedure_name::charge);
  EXPECT_TRUE(attempts_exhausted(file, procedure_name::intake).empty());
  add_run(file, procedure_name::intake, RunOutcome::stopped);
  EXPECT_TRUE(attempts_exhausted(file, procedure_name::intake).empty());
}

}  // namespace
}  // namespace leadwright
