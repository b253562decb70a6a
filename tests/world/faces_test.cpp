// SPDX-License-Identifier: Apache-2.0
// What faces rely on beyond the verbs themselves: pages of a list, changes on a condition, and
// creations that are asked for twice.
#include "daemon/battery/content_hash.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

class Faces : public WorldTest {
 protected:
  void SetUp() override { make_world(); }
  Response list(const std::string& query) { return world->ask("ticket.list", "", query); }
  Response add(const std::string& key, const std::string& serial = "S-1", const std::string& actor = "ana") {
    Request request;
    request.verb = "ticket.add";
    request.body = R"({"battery":{"serial":")" + serial + R"(","chemistry":"flooded","cells":6}})";
    request.actor = actor;
    request.idempotency = key;
    return world->ask(std::move(request));
  }
  Response hold(const std::string& ticket, const std::string& if_match) {
    Request request;
    request.verb = "ticket.hold";
    request.subject = ticket;
    request.body = R"({"until":"2030-01-01"})";
    request.if_match = if_match;
    return world->ask(std::move(request));
  }
};

TEST_F(Faces, pages_of_tickets_join_without_a_gap_and_the_last_leads_nowhere) {
  const std::string first = drop_off("S-1");
  const std::string second = drop_off("S-2");
  const std::string third = drop_off("S-3");
  const Response page = list(R"({"limit":"2"})");
  EXPECT_THAT(page.body, HasSubstr(first));
  EXPECT_THAT(page.body, HasSubstr(second));
  EXPECT_THAT(page.body, Not(HasSubstr(third)));
  EXPECT_EQ(page.next, second);
  const Response rest = list(R"({"limit":"2","cursor":")" + page.next + R"("})");
  EXPECT_THAT(rest.body, HasSubstr(third));
  EXPECT_THAT(rest.body, Not(HasSubstr(second)));
  EXPECT_THAT(rest.next, IsEmpty());
}

TEST_F(Faces, a_page_that_is_just_full_says_whether_there_is_more_of_that_state) {
  const std::string first = drop_off("S-1");
  drop_off("S-2");
  ASSERT_EQ(hold(first, "").status, 200);
  EXPECT_THAT(list(R"({"limit":"1","state":"held"})").next, IsEmpty());
  EXPECT_EQ(list(R"({"limit":"1"})").next, first);
}

TEST_F(Faces, a_limit_or_a_cursor_that_means_nothing_is_refused) {
  for (const char* query : {R"({"limit":"0"})", R"({"limit":"501"})", R"({"limit":"ten"})",
                            R"({"limit":"-1"})", R"({"cursor":"T-000001-0"})", R"({"page":"2"})"}) {
    EXPECT_EQ(list(query).status, 400) << query;
  }
}

TEST_F(Faces, a_change_on_the_condition_that_nobody_changed_the_ticket_is_refused_once_somebody_did) {
  const std::string ticket = drop_off("S-1");
  const std::string seen = content_tag(world->ask("ticket.show", ticket).body);
  EXPECT_EQ(hold(ticket, R"("0123")").status, 412);
  EXPECT_EQ(hold(ticket, R"("0123", )" + seen).status, 200);
  const Response late = hold(ticket, seen);
  EXPECT_EQ(late.status, 412);
  EXPECT_THAT(late.body, HasSubstr("changed since it was read"));
  EXPECT_EQ(world->ask("ticket.recheck", ticket).status, 200);
}

TEST_F(Faces, asking_again_with_the_same_key_gives_the_same_ticket_also_after_a_restart) {
  const Response first = add("k-1");
  ASSERT_EQ(first.status, 201);
  const Response again = add("k-1");
  EXPECT_EQ(again.status, 201);
  EXPECT_EQ(again.body, first.body);
  world->kill_and_restart();
  EXPECT_EQ(add("k-1").body, first.body);
  EXPECT_EQ(world->bench().ledger().files().size(), 1U);
  EXPECT_EQ(add("k-2").status, 201);
  EXPECT_EQ(world->bench().ledger().files().size(), 2U);
}

TEST_F(Faces, a_key_that_was_used_for_something_else_or_by_somebody_else_is_refused) {
  ASSERT_EQ(add("k-1").status, 201);
  EXPECT_EQ(add("k-1", "S-2").status, 422);
  EXPECT_EQ(add("k-1", "S-1", "bob").status, 422);
  EXPECT_EQ(world->bench().ledger().files().size(), 1U);
}

TEST_F(Faces, a_key_is_not_used_up_by_a_refusal) {
  EXPECT_EQ(add("k-1", "").status, 400);
  EXPECT_EQ(add("k-1").status, 201);
}

TEST_F(Faces, what_the_store_refused_is_not_created_twice_once_it_took_it_after_all) {
  StorePlan failing;
  failing.fail_share = 1.0;
  world->store().change_plan(failing);
  EXPECT_EQ(add("k-1").status, 503);
  EXPECT_EQ(add("k-1").status, 503);
  world->store().change_plan({});
  world->clock().run_for(Second(5.0));
  EXPECT_EQ(add("k-1").status, 201);
  EXPECT_EQ(world->bench().ledger().files().size(), 1U);
}

TEST_F(Faces, a_key_is_forgotten_after_a_week) {
  ASSERT_EQ(add("k-1").status, 201);
  world->clock().run_for(KeptAnswer::kept_for + hours(1.0));
  ASSERT_EQ(add("k-2", "S-2").status, 201);
  world->kill_and_restart();
  ASSERT_EQ(add("k-1").status, 201);
  EXPECT_EQ(world->bench().ledger().files().size(), 3U);
}

TEST_F(Faces, a_condition_on_a_ticket_that_is_not_there_is_told_that_it_is_not_there) {
  EXPECT_EQ(hold("T-000900-8", R"("0123")").status, 404);
}

}  // namespace
}  // namespace leadwright
