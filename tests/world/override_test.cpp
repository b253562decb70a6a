// SPDX-License-Identifier: Apache-2.0
// Another letter than the bench's own, in the whole daemon: two persons, what they may not, what stays, and
// what a restart keeps.
#include "daemon/queue/overrule.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

constexpr const char* to_b = R"({"letter":"B","why":"its owner knows, and wants it for a pump"})";

class OverrideTest : public WorldTest {
 protected:
  void SetUp() override { make_world(); }
  /// A look at it alone, so that its letter is U.
  void grade_undecided() {
    bring("x", "cell:sound");
    ticket = drop_off("S-1", "flooded", 6, "intake check");
    carry("x", ticket, bay);
    work(bay);
    ASSERT_TRUE(file(ticket).grade);
    ASSERT_EQ(file(ticket).grade->letter, 'U');
  }
  Response as(const std::string& actor, const std::string& verb, const std::string& body) {
    Request request;
    request.verb = verb;
    request.subject = ticket;
    request.body = body;
    request.actor = actor;
    return world->ask(std::move(request));
  }
  Response propose(const std::string& actor, const std::string& body = to_b) {
    return as(actor, "ticket.override", body);
  }
  Response confirm(const std::string& actor, const std::string& letter = "B") {
    return as(actor, "ticket.override.confirm", R"({"letter":")" + letter + R"("})");
  }
  std::string page() { return world->ask("ticket.show", ticket).body; }
  std::vector<std::string> acts() {
    std::vector<std::string> acts;
    const std::vector<AuditEntry> rows = *world->store().audit_of(ticket);
    for (const AuditEntry& row : rows) {
      if (row.what.starts_with("ticket.override"))
        acts.push_back(row.actor + " " + row.what + ": " + row.why);
    }
    return acts;
  }
  std::string counted() {
    const std::string text = world->ask("metrics").body;
    const auto at = text.find("\nleadwright_grade_overrides_total ");
    return text.substr(at + 1, text.find('\n', at + 1) - at - 1);
  }
  std::string ticket;
};

TEST_F(OverrideTest, a_second_person_lets_another_letter_stand_and_the_benchs_own_is_kept_with_its_rules) {
  grade_undecided();
  const std::string before = page();
  const auto grade_in = [](const std::string& text) {
    return text.substr(text.find(R"("grade":)"), text.find(R"(,"overrides")") - text.find(R"("grade":)"));
  };
  ASSERT_EQ(propose("ana").status, 200);
  EXPECT_EQ(letter_that_stands(file(ticket)), 'U');
  EXPECT_THAT(world->bench().snapshot(), HasSubstr(R"("proposed_grade":"B")"));
  const Response confirmed = confirm("bob");
  ASSERT_EQ(confirmed.status, 200) << confirmed.body;
  EXPECT_EQ(letter_that_stands(file(ticket)), 'B');
  EXPECT_EQ(grade_in(page()), grade_in(before));
  EXPECT_THAT(page(),
              AllOf(HasSubstr(R"("letter":"B","photos")"), HasSubstr(R"("confirmed")"),
                    HasSubstr(R"("proposed_by":"P-2")"), HasSubstr(R"("settled_by":"P-3")"),
                    HasSubstr(R"("people":[{"person":"P-2","name":"ana"},{"person":"P-3","name":"bob"}])")));
  EXPECT_THAT(file(ticket).ticket.state_reason, HasSubstr("The bench's own letter is U"));
  world->clock().run_for(Second(1.0));
  EXPECT_THAT(world->bench().snapshot(), HasSubstr(R"("grade":"B","own_grade":"U","proposed_grade":null)"));
}

TEST_F(OverrideTest, who_proposed_it_does_not_confirm_it_whatever_name_the_page_or_the_client_gives) {
  grade_undecided();
  ASSERT_EQ(propose("page: Ana, unverified").status, 200);
  const Response alone = confirm("ana");
  EXPECT_EQ(alone.status, 409);
  EXPECT_THAT(alone.body, HasSubstr("who proposed a letter can't confirm it"));
  EXPECT_EQ(letter_that_stands(file(ticket)), 'U');
  EXPECT_EQ(confirm("bob").status, 200);
}

TEST_F(OverrideTest, each_step_is_a_row_of_the_journal_and_the_confirmed_ones_are_counted) {
  grade_undecided();
  EXPECT_EQ(counted(), "leadwright_grade_overrides_total 0");
  ASSERT_EQ(propose("ana").status, 200);
  ASSERT_EQ(as("bob", "ticket.override.withdraw", R"({"why":"ask its owner first"})").status, 200);
  EXPECT_EQ(confirm("bob").status, 409);
  ASSERT_EQ(propose("bob").status, 200);
  ASSERT_EQ(confirm("ana").status, 200);
  EXPECT_EQ(counted(), "leadwright_grade_overrides_total 1");
  EXPECT_THAT(acts(),
              ElementsAre("P-2 ticket.override: U to B: its owner knows, and wants it for a pump",
                          "P-3 ticket.override.withdraw: not B: ask its owner first",
                          "P-3 ticket.override: U to B: its owner knows, and wants it for a pump",
                          "P-2 ticket.override.confirm: U to B: its owner knows, and wants it for a pump"));
}

TEST_F(OverrideTest, survives_a_restart_proposed_and_confirmed) {
  grade_undecided();
  ASSERT_EQ(propose("ana").status, 200);
  world->kill_and_restart();
  ASSERT_NE(proposed_override(file(ticket)), nullptr);
  EXPECT_EQ(confirm("ana").status, 409);
  ASSERT_EQ(confirm("bob").status, 200);
  const std::string told = page();
  world->kill_and_restart();
  EXPECT_EQ(page(), told);
  EXPECT_EQ(letter_that_stands(file(ticket)), 'B');
}

TEST_F(OverrideTest, what_the_disk_refused_is_not_written_over_what_it_took_later) {
  grade_undecided();
  StorePlan failing;
  failing.fail_share = 1.0;
  world->store().change_plan(failing);
  EXPECT_EQ(propose("ana").status, 503);
  world->store().change_plan({});
  ASSERT_EQ(confirm("bob").status, 200);
  world->clock().run_for(Second(5.0));
  world->kill_and_restart();
  EXPECT_EQ(letter_that_stands(file(ticket)), 'B');
}

TEST_F(OverrideTest, another_proposal_takes_the_place_of_the_one_that_waits) {
  grade_undecided();
  ASSERT_EQ(propose("ana").status, 200);
  ASSERT_EQ(propose("bob", R"({"letter":"C","why":"its minutes were never measured"})").status, 200);
  EXPECT_EQ(confirm("carl", "B").status, 409);
  EXPECT_EQ(confirm("ana", "C").status, 200);
  EXPECT_EQ(letter_that_stands(file(ticket)), 'C');
  EXPECT_EQ(file(ticket).overrides.at(0).state, OverrideState::withdrawn);
}

TEST_F(OverrideTest, the_benchs_own_letter_comes_back_by_two_persons_as_well) {
  grade_undecided();
  ASSERT_EQ(propose("ana").status, 200);
  ASSERT_EQ(confirm("bob").status, 200);
  ASSERT_EQ(propose("bob", R"({"letter":"U","why":"it was a mistake"})").status, 200);
  EXPECT_EQ(letter_that_stands(file(ticket)), 'B');
  ASSERT_EQ(confirm("ana", "U").status, 200);
  EXPECT_EQ(letter_that_stands(file(ticket)), 'U');
  EXPECT_EQ(file(ticket).ticket.state_reason, file(ticket).grade->reason);
  EXPECT_EQ(counted(), "leadwright_grade_overrides_total 2");
}

TEST_F(OverrideTest, a_battery_that_was_found_faulty_has_no_other_letter_for_anybody) {
  bring("x", "cell:reversed");
  ticket = drop_off("S-1");
  carry("x", ticket, bay);
  work(bay);
  ASSERT_EQ(file(ticket).grade->letter, 'F');
  const Response refused = propose("ana");
  EXPECT_EQ(refused.status, 409);
  EXPECT_THAT(refused.body, AllOf(HasSubstr(R"("code":"refused")"), HasSubstr("no role can override this")));
  EXPECT_TRUE(file(ticket).overrides.empty());
}

TEST_F(OverrideTest, a_battery_that_a_test_drew_down_stays_until_its_recharge_whatever_its_letter) {
  bring("x", "cell:sound,charged=1");
  ticket = drop_off("S-1");
  carry("x", ticket, bay);
  for (int turn = 0; turn < 12 && !file(ticket).grade; ++turn) work(bay);
  ASSERT_EQ(file(ticket).ticket.state, TicketState::graded) << file(ticket).ticket.state_reason;
  const std::string own(1, file(ticket).grade->letter);
  const std::string other = own == "D" ? "A" : "D";
  ASSERT_EQ(propose("ana", R"({"letter":")" + other + R"(","why":"a try"})").status, 200);
  ASSERT_EQ(confirm("bob", other).status, 200);
  const Response early = world->ask("ticket.close", ticket, R"({"as":"handed_back"})");
  EXPECT_EQ(early.status, 409);
  EXPECT_THAT(early.body, HasSubstr("recharge before leaving"));
  carry("x", ticket, charging);
  ASSERT_EQ(world->start(charging, "recharge before leaving").status, 202);
  ASSERT_TRUE(world->finish(charging));
  // It is graded again after the recharge, by the same evidence.
  EXPECT_EQ(std::string(1, *letter_that_stands(file(ticket))), other);
  EXPECT_THAT(file(ticket).ticket.state_reason, HasSubstr("Set to " + other + " by two persons"));
}

TEST_F(OverrideTest, a_letter_without_a_reason_or_beyond_all_length_or_of_no_kind_is_refused) {
  grade_undecided();
  const std::string endless(GradeOverride::why_length_max + 1, 'x');
  for (const std::string& body :
       {std::string(R"({"letter":"B"})"), std::string(R"({"letter":"B","why":" "})"),
        R"({"letter":"B","why":")" + endless + R"("})", std::string(R"({"letter":"F","why":"worn"})"),
        std::string(R"({"letter":"B","why":"two\nlines"})"), std::string(R"({"why":"worn"})"),
        std::string(R"({"letter":"B","why":"worn","rank":"supervisor"})")}) {
    EXPECT_EQ(propose("ana", body).status, 400) << body;
  }
  EXPECT_THAT(page(), HasSubstr(R"("overrides":[])"));
  EXPECT_TRUE(acts().empty());
}

TEST_F(OverrideTest, a_closed_ticket_keeps_its_letter_and_takes_no_other) {
  grade_undecided();
  ASSERT_EQ(propose("ana").status, 200);
  ASSERT_EQ(confirm("bob").status, 200);
  ASSERT_EQ(world->ask("ticket.close", ticket, R"({"as":"handed_back"})").status, 200);
  EXPECT_EQ(propose("ana", R"({"letter":"A","why":"even better"})").status, 409);
  EXPECT_EQ(letter_that_stands(file(ticket)), 'B');
}

}  // namespace
}  // namespace leadwright
