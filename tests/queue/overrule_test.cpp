// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/overrule.h"

#include <gmock/gmock.h>

namespace leadwright {
namespace {

using testing::HasSubstr;

constexpr const char* ana = "P-1";
constexpr const char* bob = "P-2";

PersonBook two_people() {
  PersonBook people;
  people.load({{PersonId{1}, "ana"}, {PersonId{2}, "bob"}});
  return people;
}

/// A worn battery that was graded D.
TicketFile worn() {
  TicketFile file;
  file.ticket.id = TicketId{1};
  file.ticket.state = TicketState::graded;
  file.battery.nameplate.chemistry = Chemistry::flooded;
  Grade& grade = file.grade.emplace();
  grade.letter = 'D';
  grade.reason = "Gives 60 of 100 minutes: worn.";
  return file;
}

GradeOverride& add(TicketFile& file, char letter, OverrideState state, const char* by = ana) {
  GradeOverride given;
  given.ticket = file.ticket.id;
  given.number = static_cast<int>(file.overrides.size()) + 1;
  given.letter = letter;
  given.own_letter = file.grade->letter;
  given.own_reason = file.grade->reason;
  given.why = "its owner wants it for a pump";
  given.state = state;
  given.proposed_by = by;
  return file.overrides.emplace_back(std::move(given));
}

Errc code_of_proposal(const TicketFile& file, std::string_view letter = "C") {
  const auto refused = may_propose(file, letter);
  EXPECT_FALSE(refused);
  return refused ? Errc::bug : refused.error().code;
}

TEST(Overrule, what_is_proposed_changes_no_letter_and_what_a_second_person_confirmed_does) {
  TicketFile file = worn();
  GradeOverride& given = add(file, 'C', OverrideState::proposed);
  EXPECT_EQ(letter_that_stands(file), 'D');
  EXPECT_EQ(reason_that_stands(file).text(), "Gives 60 of 100 minutes: worn.");
  ASSERT_NE(proposed_override(file), nullptr);
  given.state = OverrideState::confirmed;
  EXPECT_EQ(letter_that_stands(file), 'C');
  EXPECT_EQ(proposed_override(file), nullptr);
  EXPECT_EQ(
      reason_that_stands(file).text(),
      "Set to C by two persons: its owner wants it for a pump (The bench's own letter is D: Gives 60 of "
      "100 minutes: worn.)");
  EXPECT_EQ(file.grade->letter, 'D');
}

TEST(Overrule, the_newest_that_was_confirmed_stands_and_the_benchs_own_letter_takes_it_back) {
  TicketFile file = worn();
  add(file, 'C', OverrideState::confirmed);
  add(file, 'B', OverrideState::confirmed);
  add(file, 'A', OverrideState::withdrawn);
  EXPECT_EQ(letter_that_stands(file), 'B');
  add(file, 'D', OverrideState::confirmed);
  EXPECT_EQ(letter_that_stands(file), 'D');
  EXPECT_EQ(standing_override(file), nullptr);
}

TEST(Overrule, a_grade_by_other_evidence_ends_it_and_the_same_grade_again_does_not) {
  TicketFile file = worn();
  add(file, 'C', OverrideState::confirmed);
  add(file, 'B', OverrideState::proposed);
  file.grade->at = Utc(1);
  EXPECT_EQ(letter_that_stands(file), 'C');
  file.grade->reason = "Gives 40 of 100 minutes: worn.";
  EXPECT_EQ(letter_that_stands(file), 'D');
  EXPECT_EQ(proposed_override(file), nullptr);
  const auto late = may_confirm(file, "B", bob, two_people());
  ASSERT_FALSE(late);
  EXPECT_THAT(late.error().what, HasSubstr("as it is now"));
}

TEST(Overrule, nothing_that_was_refused_for_safety_has_another_letter) {
  TicketFile faulty = worn();
  faulty.faults.push_back({TicketId{1}, RunId{1}, FaultKind::shorted_cell, "10.6 V at rest", Utc()});
  TicketFile cracked = worn();
  cracked.ticket.inspection.cracked = true;
  TicketFile frozen = worn();
  frozen.ticket.inspection.frozen = true;
  TicketFile lithium = worn();
  lithium.battery.nameplate.chemistry = Chemistry::lithium;
  TicketFile unknown = worn();
  unknown.battery.nameplate.chemistry = Chemistry::unknown;
  TicketFile refused = worn();
  refused.ticket.state = TicketState::refused;
  TicketFile f = worn();
  f.grade->letter = 'F';
  for (TicketFile* file : {&faulty, &cracked, &frozen, &lithium, &unknown, &refused, &f}) {
    EXPECT_EQ(code_of_proposal(*file), Errc::refused);
    EXPECT_EQ(may_propose(*file, "C").error().mend, "no role can override this");
  }
}

TEST(Overrule, a_fault_that_is_found_after_the_proposal_can_not_be_confirmed_away) {
  TicketFile file = worn();
  add(file, 'C', OverrideState::proposed);
  ASSERT_TRUE(may_confirm(file, "C", bob, two_people()));
  file.faults.push_back({TicketId{1}, RunId{1}, FaultKind::reversed, "-12 V", Utc()});
  EXPECT_EQ(may_confirm(file, "C", bob, two_people()).error().code, Errc::refused);
}

TEST(Overrule, only_a_graded_ticket_has_a_letter_to_override) {
  for (const TicketState state : {TicketState::received, TicketState::waiting, TicketState::testing,
                                  TicketState::recharging, TicketState::held, TicketState::closed}) {
    TicketFile file = worn();
    file.ticket.state = state;
    EXPECT_EQ(code_of_proposal(file), Errc::conflict) << word(state);
  }
  TicketFile file = worn();
  file.grade.reset();
  EXPECT_EQ(code_of_proposal(file), Errc::conflict);
}

TEST(Overrule, a_person_sets_A_to_D_or_U_and_nothing_else_and_not_what_stands_already) {
  const TicketFile file = worn();
  for (const char* letter : {"A", "B", "C", "U"}) EXPECT_TRUE(may_propose(file, letter)) << letter;
  for (const char* letter : {"F", "E", "c", "", "AB", " "})
    EXPECT_EQ(code_of_proposal(file, letter), Errc::bad_input) << letter;
  EXPECT_EQ(code_of_proposal(file, "D"), Errc::conflict);
}

TEST(Overrule, who_proposed_it_can_not_confirm_it) {
  TicketFile file = worn();
  add(file, 'C', OverrideState::proposed, ana);
  const auto refused = may_confirm(file, "C", ana, two_people());
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, Errc::conflict);
  EXPECT_THAT(refused.error().mend, HasSubstr("second person"));
  EXPECT_TRUE(may_confirm(file, "C", bob, two_people()));
}

TEST(Overrule, after_an_erasure_who_was_known_before_is_another_person_and_who_came_later_may_be_the_same) {
  TicketFile file = worn();
  add(file, 'C', OverrideState::proposed, ana);
  PersonBook people = two_people();
  ASSERT_TRUE(people.erase(PersonId{1}));
  EXPECT_TRUE(may_confirm(file, "C", bob, people));
  const std::string later = people.code_of("ana");
  ASSERT_NE(later, ana);
  const auto refused = may_confirm(file, "C", later, people);
  ASSERT_FALSE(refused);
  EXPECT_THAT(refused.error().what, HasSubstr("was erased"));
  ASSERT_TRUE(people.erase(PersonId{2}));
  EXPECT_TRUE(may_confirm(file, "C", bob, people)) << "both were known at once";
}

TEST(Overrule, another_letter_than_the_proposed_one_is_not_confirmed) {
  TicketFile file = worn();
  add(file, 'C', OverrideState::proposed);
  const auto other = may_confirm(file, "B", bob, two_people());
  ASSERT_FALSE(other);
  EXPECT_THAT(other.error().what, HasSubstr("C: its owner wants it for a pump"));
  EXPECT_FALSE(may_confirm(file, "", bob, two_people()));
}

TEST(Overrule, a_reason_is_one_line_that_fits_on_a_certificate) {
  EXPECT_EQ(reason_of_override("  for a pump ").value_or(""), "for a pump");
  EXPECT_FALSE(reason_of_override(""));
  EXPECT_FALSE(reason_of_override("   "));
  EXPECT_FALSE(reason_of_override("two\nlines"));
  EXPECT_TRUE(reason_of_override(std::string(GradeOverride::why_length_max, 'x')));
  EXPECT_FALSE(reason_of_override(std::string(GradeOverride::why_length_max + 1, 'x')));
}

}  // namespace
}  // namespace leadwright
