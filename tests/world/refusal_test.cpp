// SPDX-License-Identifier: Apache-2.0
// What must be refused before energy: method: the wire of every instrument is recorded, and no message that
// switches an input or an output on may be on it.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class Refusal : public WorldTest {
 protected:
  void SetUp() override {
    WorldOptions options;
    options.tap = [this](const std::string&, bool outward, std::string_view bytes, Instant) {
      const bool on =
          bytes.find("INP ON") != std::string_view::npos || bytes.find("OUTP ON") != std::string_view::npos;
      if (outward && on) ++switched_on;
    };
    make_world(std::move(options));
  }
  int switched_on = 0;
};

TEST_F(Refusal, a_reversed_battery_is_refused_in_plain_words_before_energy) {
  bring("x", "cell:reversed");
  const std::string ticket = drop_off("S-1");
  carry("x", ticket, bay);
  work(bay);
  EXPECT_EQ(switched_on, 0);
  ASSERT_EQ(results.size(), 1U);
  EXPECT_THAT(results[0].run.end_reason, HasSubstr("reversed"));
  ASSERT_TRUE(file(ticket).grade);
  EXPECT_EQ(file(ticket).grade->letter, 'F');
}

TEST_F(Refusal, a_six_volt_block_declared_as_twelve_volt_asks_to_count_the_cells) {
  bring("x", "cell:six_volt");
  const std::string ticket = drop_off("S-1");
  carry("x", ticket, bay);
  work(bay);
  EXPECT_EQ(switched_on, 0);
  ASSERT_TRUE(results.at(0).ask);
  EXPECT_EQ(results[0].ask->of, AskOf::cells);
  EXPECT_THAT(results[0].run.end_reason, HasSubstr("the label says 6 cells"));
  EXPECT_EQ(world->bench().place(bay)->activity(), Activity::asking);
}

TEST_F(Refusal, a_counted_six_volt_block_is_then_tested_as_one) {
  bring("x", "cell:six_volt");
  const std::string ticket = drop_off("S-1");
  carry("x", ticket, bay);
  work(bay);
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"cells","cells":3})").status, 200);
  EXPECT_EQ(file(ticket).battery.nameplate.cells, 3);
  work(bay);
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
}

TEST_F(Refusal, an_unknown_chemistry_is_refused_at_drop_off_and_can_not_be_started) {
  bring("x", "cell:sound");
  const std::string ticket = drop_off("S-1", "unknown");
  EXPECT_EQ(file(ticket).ticket.state, TicketState::refused);
  const Response moved = world->ask("ticket.move", ticket, R"({"place":"bay-1"})");
  EXPECT_EQ(moved.status, 409);
  EXPECT_THAT(moved.body, HasSubstr("never energised"));
  EXPECT_EQ(switched_on, 0);
}

TEST_F(Refusal, a_swapped_battery_asks_whether_it_is_the_same) {
  bring("right", "cell:sound");
  bring("wrong", "cell:discharged");
  const std::string ticket = drop_off("S-1");
  carry("right", ticket, bay);
  work(bay);
  const int switched_on_before = switched_on;
  ASSERT_TRUE(world->sim().unplug(bay));
  carry("wrong", ticket, charging);
  work(charging);
  EXPECT_EQ(switched_on, switched_on_before);
  ASSERT_TRUE(results.back().ask) << results.back().run.end_reason;
  EXPECT_EQ(results.back().ask->of, AskOf::same_battery);
  const Response answered =
      world->ask("place.acknowledge", charging, R"({"of":"same_battery","answer":"no"})");
  EXPECT_EQ(answered.status, 200) << answered.body;
  EXPECT_EQ(file(ticket).ticket.place, "");
}

TEST_F(Refusal, nothing_clamped_on_is_told_apart_from_a_battery) {
  const std::string ticket = drop_off("S-1");
  scan(ticket, bay);
  work(bay);
  EXPECT_EQ(switched_on, 0);
  EXPECT_THAT(results.at(0).run.end_reason, HasSubstr("nothing is clamped on"));
  EXPECT_EQ(file(ticket).ticket.state, TicketState::waiting);
}

TEST_F(Refusal, a_start_waits_for_the_cautions_of_each_person) {
  bring("x", "cell:sound");
  const std::string ticket = drop_off("S-1");
  carry("x", ticket, bay);
  const Response started = world->ask("place.start", bay);
  EXPECT_EQ(started.status, 409);
  EXPECT_THAT(started.body, HasSubstr("cautions"));
  EXPECT_EQ(world->bench().place(bay)->ask()->of, AskOf::cautions);
}

TEST_F(Refusal, a_lithium_pack_that_says_lead_is_not_charged) {
  bring("x", "lithium");
  const std::string ticket = drop_off("S-1");
  carry("x", ticket, bay);
  work(bay);
  EXPECT_NE(file(ticket).ticket.state, TicketState::charging);
}

}  // namespace
}  // namespace leadwright
