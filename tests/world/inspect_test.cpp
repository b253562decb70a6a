// SPDX-License-Identifier: Apache-2.0
// A look at a battery at the bench, after it was taken in: what it refuses, holds and says.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

class InspectTest : public WorldTest {
 protected:
  void SetUp() override {
    make_world();
    bring("x", "cell:sound");
  }
  Response look(const std::string& seen) { return world->ask("ticket.inspect", ticket, seen); }
  TicketState state() { return file(ticket).ticket.state; }
  void take_in(const std::string& procedure = "") { ticket = drop_off("S-1", "flooded", 6, procedure); }
  std::string ticket;
};

TEST_F(InspectTest, what_is_found_dangerous_at_the_bench_is_refused_and_never_started) {
  take_in();
  carry("x", ticket, bay);
  const Response seen = look(R"({"leaking":true})");
  ASSERT_EQ(seen.status, 200) << seen.body;
  EXPECT_THAT(seen.body, AllOf(HasSubstr("refused"), HasSubstr("never charge or test it")));
  EXPECT_EQ(state(), TicketState::refused);
  EXPECT_NE(world->start(bay).status, 202) << "there is nothing next";
  const Response named = world->ask("place.start", bay, R"({"procedure":"standard charge"})");
  EXPECT_EQ(named.status, 409);
  EXPECT_THAT(named.body, HasSubstr("the ticket is refused: the inspection found it"));
  EXPECT_EQ(world->ask("ticket.move", ticket, R"({"place":"bay-1"})").status, 409) << "it stays where it is";
  world->kill_and_restart();
  EXPECT_EQ(state(), TicketState::refused);
  EXPECT_TRUE(file(ticket).ticket.inspection.leaking);
}

TEST_F(InspectTest, no_word_of_a_person_takes_a_danger_back) {
  take_in();
  ASSERT_EQ(look(R"({"cracked":true})").status, 200);
  const Response back = look(R"({"cracked":false})");
  EXPECT_NE(back.status, 200);
  EXPECT_THAT(back.body, HasSubstr("no role can take that back"));
  EXPECT_EQ(look(R"({"remarks":"at the lid"})").status, 200) << "what is left out stays";
  EXPECT_TRUE(file(ticket).ticket.inspection.cracked);
  EXPECT_EQ(state(), TicketState::refused);
}

TEST_F(InspectTest, a_letter_falls_to_f_when_the_battery_is_found_cracked) {
  take_in("intake check");
  carry("x", ticket, bay);
  work(bay);
  ASSERT_TRUE(file(ticket).grade);
  ASSERT_NE(file(ticket).grade->letter, 'F');
  ASSERT_EQ(look(R"({"cracked":true})").status, 200);
  EXPECT_EQ(file(ticket).grade->letter, 'F');
  EXPECT_EQ(state(), TicketState::refused);
  world->kill_and_restart();
  EXPECT_EQ(file(ticket).grade->letter, 'F');
}

TEST_F(InspectTest, what_is_mended_may_be_said_and_what_is_too_light_is_held) {
  take_in();
  ASSERT_EQ(look(R"({"terminals_corroded":true,"weight_kg":16.4})").status, 200);
  EXPECT_TRUE(file(ticket).ticket.inspection.terminals_corroded);
  ASSERT_EQ(look(R"({"terminals_corroded":false})").status, 200);
  EXPECT_FALSE(file(ticket).ticket.inspection.terminals_corroded);
  EXPECT_EQ(file(ticket).ticket.inspection.weight_kg, 16.4);
  EXPECT_EQ(state(), TicketState::received);
  ASSERT_EQ(look(R"({"weight_kg":5})").status, 200);
  EXPECT_EQ(state(), TicketState::held);
}

TEST_F(InspectTest, posts_on_the_other_side_than_the_vehicle_asks_for_are_told) {
  take_in();
  EXPECT_THAT(look(R"({"plus_at":"right","vehicle_plus_at":"right"})").body,
              Not(HasSubstr("not the battery that its vehicle asks for")));
  EXPECT_THAT(look(R"({"vehicle_plus_at":"left"})").body,
              HasSubstr("not the battery that its vehicle asks for (side of the plus post)"));
  EXPECT_THAT(world->ask("ticket.show", ticket).body,
              AllOf(HasSubstr(R"({"of":"plus_at","outcome":"differs"})"),
                    HasSubstr(R"({"of":"post","outcome":"not_checked"})")));
  const Response fitting = world->ask("fitting.check", "", R"({"ticket":")" + ticket + R"("})");
  EXPECT_THAT(fitting.body, AllOf(HasSubstr(R"({"of":"plus_at","outcome":"differs"})"),
                                  HasSubstr(R"("verdict":"do_not_fit")")));
  EXPECT_EQ(look(R"({"plus_at":"middle"})").status, 400);
}

TEST_F(InspectTest, nobody_looks_while_a_run_goes_on) {
  take_in();
  carry("x", ticket, bay);
  ASSERT_EQ(world->start(bay).status, 202);
  const Response busy = look(R"({"leaking":true})");
  EXPECT_EQ(busy.status, 409);
  EXPECT_THAT(busy.body, HasSubstr("stop the run first"));
}

}  // namespace
}  // namespace leadwright
