// SPDX-License-Identifier: Apache-2.0
// Each promise about facts, broken on purpose by made-up events, and seen.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tools/simtest_world/promises.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

class PromisesOfFacts : public testing::Test {
 protected:
  static Instant at(double second) { return Instant() + Second(second); }
  static constexpr TicketId ticket{1};
  static constexpr RunId run{7};
  static Finding finding() {
    Finding one;
    one.ticket = ticket;
    one.run = run;
    one.value = 12.5;
    return one;
  }
  static EndedRunSeen complete() {
    EndedRunSeen seen;
    seen.run = run;
    seen.ticket = ticket;
    return seen;
  }
  std::vector<std::string> broken() const {
    std::vector<std::string> names;
    for (const Violation& each : promises.violations()) names.push_back(each.promise);
    return names;
  }
  Promises promises;
};

TEST_F(PromisesOfFacts, kept_is_broken_by_an_audit_row_that_is_not_stored) {
  const AuditEntry row{{}, "hand 1", "ticket.move", "T-000001-9", ""};
  promises.acknowledged(row);
  promises.acknowledged(row);
  promises.kept({}, {row, row}, at(1.0));
  EXPECT_THAT(broken(), IsEmpty());
  promises.acknowledged(row);
  promises.kept({}, {row, row}, at(2.0));
  EXPECT_THAT(broken(), ElementsAre("kept"));
}

TEST_F(PromisesOfFacts, kept_is_broken_by_a_ticket_that_is_lost_or_open_again) {
  promises.ticket_promised(ticket, false);
  promises.kept({}, {}, at(1.0));
  EXPECT_THAT(broken(), ElementsAre("kept"));
  promises.ticket_promised(ticket, true);
  StoredBench stored;
  stored.tickets.emplace_back();
  stored.tickets.back().id = ticket;
  stored.tickets.back().state = TicketState::waiting;
  promises.kept(stored, {}, at(2.0));
  EXPECT_THAT(broken(), ElementsAre("kept", "kept"));
}

TEST_F(PromisesOfFacts, kept_is_broken_by_a_finding_or_grade_that_was_shown_for_a_minute) {
  promises.shown(finding(), at(10.0));
  Grade grade;
  grade.ticket = ticket;
  promises.shown(grade, at(10.0));
  promises.kept({}, {}, at(71.0));
  EXPECT_THAT(broken(), ElementsAre("kept", "kept"));
}

TEST_F(PromisesOfFacts, kept_says_nothing_of_what_was_shown_a_moment_before_the_kill) {
  promises.shown(finding(), at(10.0));
  promises.kept({}, {}, at(20.0));
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFacts, own_run_is_kept_by_a_complete_run_of_the_ticket_on_its_battery) {
  promises.ended(complete(), at(1.0));
  promises.graded(ticket, {finding()}, at(2.0));
  EXPECT_THAT(broken(), IsEmpty());
}

TEST_F(PromisesOfFacts, own_run_is_broken_by_a_run_that_did_not_complete_or_never_ended) {
  promises.graded(ticket, {finding()}, at(1.0));
  EndedRunSeen seen = complete();
  seen.outcome = RunOutcome::tripped;
  seen.place_tripped = true;
  promises.ended(seen, at(2.0));
  promises.graded(ticket, {finding()}, at(3.0));
  EXPECT_THAT(broken(), ElementsAre("own_run", "own_run"));
}

TEST_F(PromisesOfFacts, shouted_is_broken_by_a_run_that_tripped_and_left_its_place_as_it_was) {
  EndedRunSeen seen = complete();
  seen.outcome = RunOutcome::tripped;
  seen.place_tripped = true;
  promises.ended(seen, at(1.0));
  EXPECT_THAT(broken(), IsEmpty());
  seen.place_tripped = false;
  promises.ended(seen, at(2.0));
  EXPECT_THAT(broken(), ElementsAre("shouted"));
}

TEST_F(PromisesOfFacts, own_run_is_broken_by_a_discharge_that_went_on_after_its_daemon_died) {
  EndedRunSeen seen = complete();
  seen.was_cut = true;
  promises.ended(seen, at(1.0));
  promises.graded(ticket, {finding()}, at(2.0));
  EXPECT_THAT(broken(), IsEmpty()) << "a rest may go on";
  seen.drew_when_cut = true;
  promises.ended(seen, at(3.0));
  promises.graded(ticket, {finding()}, at(4.0));
  EXPECT_THAT(broken(), ElementsAre("own_run"));
}

TEST_F(PromisesOfFacts, charge_is_broken_by_a_resumed_run_that_says_too_little_went_in_unmeasured) {
  EndedRunSeen seen = complete();
  seen.was_cut = true;
  seen.recorded = Coulomb(-1000.0);
  seen.given = Coulomb(-1080.0);
  seen.allowed_watched = Coulomb(10.0);
  seen.allowed = Coulomb(200.0);
  seen.unmeasured = Coulomb(71.0);
  promises.ended(seen, at(1.0));
  EXPECT_THAT(broken(), IsEmpty());
  seen.unmeasured = Coulomb(69.0);
  promises.ended(seen, at(2.0));
  EXPECT_THAT(broken(), ElementsAre("charge"));
}

TEST_F(PromisesOfFacts, own_run_is_broken_by_a_run_of_another_ticket) {
  EndedRunSeen seen = complete();
  seen.ticket = TicketId{2};
  promises.ended(seen, at(1.0));
  promises.graded(ticket, {finding()}, at(2.0));
  EXPECT_THAT(broken(), ElementsAre("own_run"));
}

TEST_F(PromisesOfFacts, own_run_is_broken_by_another_battery_unless_somebody_was_deceived) {
  EndedRunSeen seen = complete();
  seen.own_battery = false;
  seen.was_deceived = true;
  promises.ended(seen, at(1.0));
  promises.graded(ticket, {finding()}, at(2.0));
  EXPECT_THAT(broken(), IsEmpty());
  seen.was_deceived = false;
  promises.ended(seen, at(3.0));
  promises.graded(ticket, {finding()}, at(4.0));
  EXPECT_THAT(broken(), ElementsAre("own_run"));
}

TEST_F(PromisesOfFacts, recharged_is_broken_by_a_drained_battery_that_leaves_for_use) {
  const Coulomb capacity = ampere_hours(60.0);
  promises.left(ticket, Closing::handed_back, ampere_hours(14.0), capacity, at(1.0));
  promises.left(ticket, Closing::scrapped, ampere_hours(40.0), capacity, at(1.0));
  EXPECT_THAT(broken(), IsEmpty());
  promises.left(ticket, Closing::resold, ampere_hours(16.0), capacity, at(2.0));
  promises.left(ticket, Closing::handed_back, ampere_hours(16.0), capacity, at(2.0));
  EXPECT_THAT(broken(), ElementsAre("recharged", "recharged"));
}

TEST_F(PromisesOfFacts, charge_is_broken_by_ampere_hours_that_the_battery_did_not_give) {
  EndedRunSeen seen = complete();
  seen.recorded = Coulomb(1000.0);
  seen.given = Coulomb(1000.9);
  seen.allowed = Coulomb(1.0);
  promises.ended(seen, at(1.0));
  EXPECT_THAT(broken(), IsEmpty());
  seen.given = Coulomb(-1000.0);
  promises.ended(seen, at(2.0));
  EXPECT_THAT(broken(), ElementsAre("charge"));
}

TEST_F(PromisesOfFacts, converges_is_broken_by_what_is_left) {
  promises.converged(true, "", at(1.0));
  EXPECT_THAT(broken(), IsEmpty());
  promises.converged(false, "bay-1 is tripped", at(1.0));
  EXPECT_THAT(broken(), ElementsAre("converges"));
}

}  // namespace
}  // namespace leadwright
