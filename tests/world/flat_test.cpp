// SPDX-License-Identifier: Apache-2.0
// A battery too flat to show its polarity: a person looks at the posts, then it gets an ampere until it holds
// a voltage, or nothing more.
#include "tests/world/scripted_battery.h"
#include "tests/world/wire_log.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class FlatTest : public WorldTest {
 protected:
  void SetUp() override {
    WorldOptions options;
    options.tap = [this](const std::string&, bool outward, std::string_view bytes, Instant) {
      if (outward && WorldWireLog::switches_on(bytes)) ++switched_on;
    };
    make_world(std::move(options));
    script.rested = Volt(1.1);
    ASSERT_TRUE(world->sim().shelve("x", std::make_unique<ScriptedBattery>(script)));
    ticket = drop_off("S-1");
    carry("x", ticket, bay);
  }
  Place& place() { return *world->bench().place(bay); }
  Response answer(const char* body) { return world->ask("place.acknowledge", bay, body); }
  /// Both questions of a flat battery, as far as the charge that then comes.
  void begin_charge() {
    ASSERT_EQ(world->start(bay).status, 202);
    ASSERT_TRUE(world->finish(bay));
    ASSERT_TRUE(place().ask());
    ASSERT_EQ(place().ask()->of, AskOf::polarity);
    ASSERT_EQ(answer(R"({"of":"polarity"})").status, 200);
    ASSERT_EQ(world->start(bay).status, 202);
    ASSERT_TRUE(world->finish(bay));
    ASSERT_EQ(place().ask()->of, AskOf::cells);
    ASSERT_EQ(answer(R"({"of":"cells","cells":6})").status, 200);
    ASSERT_EQ(switched_on, 0);
    EXPECT_EQ(next_work(file(ticket), Policy())->procedure, procedure_name::recovery);
    const Response started = world->start(bay, "standard charge");
    ASSERT_EQ(started.status, 202) << started.body;
  }
  Ampere charged() {
    world->sim().terminals(bay)->settle(world->clock().now());
    return terminals(bay).charger_amps();
  }
  BatteryScript script;
  std::string ticket;
  int switched_on = 0;
};

TEST_F(FlatTest, is_asked_about_before_anything_is_energised_and_then_charged_before_the_intake_check) {
  begin_charge();
  Ampere highest{0.0};
  for (int s = 0; s < 180; ++s) {
    world->clock().run_for(Second(1.0));
    highest = std::max(highest, charged());
  }
  EXPECT_GT(highest, Ampere(0.5));
  EXPECT_LE(highest, Ampere(1.01)) << "a probe of one ampere";
  script.rested = Volt(2.6);
  world->clock().run_for(minutes(2.0));
  EXPECT_GT(charged(), Ampere(5.0)) << "it holds a voltage: the full current";
  EXPECT_EQ(place().activity(), Activity::running);
  script.rested = Volt(12.0);
  world->clock().run_for(minutes(1.0));
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_EQ(next_work(file(ticket), Policy())->procedure, "intake check");
}

TEST_F(FlatTest, takes_no_charge_if_it_holds_nothing_after_ten_minutes) {
  begin_charge();
  world->clock().run_for(minutes(9.0));
  ASSERT_EQ(place().activity(), Activity::running);
  ASSERT_TRUE(world->finish(bay, minutes(3.0)));
  EXPECT_TRUE(is_off());
  EXPECT_EQ(results.back().run.outcome, RunOutcome::stopped);
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("takes no charge: after 10 min of at most 1 A"));
}

TEST_F(FlatTest, its_charge_is_attended) {
  begin_charge();
  script.rested = Volt(2.6);
  world->clock().run_for(minutes(25.5));
  ASSERT_TRUE(place().ask()) << results.back().run.end_reason;
  EXPECT_EQ(place().ask()->of, AskOf::presence);
  EXPECT_THAT(place().ask()->text, HasSubstr("below 10.50 V, is attended"));
  world->clock().run_for(minutes(5.0));
  EXPECT_TRUE(is_off());
  EXPECT_THAT(results.back().run.end_reason, HasSubstr("nobody has confirmed to be at bay-1 for 30 minutes"));
}

TEST_F(FlatTest, the_answer_counts_for_these_clamps_only) {
  begin_charge();
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  ASSERT_EQ(world->start(bay, "standard charge").status, 202);
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  EXPECT_EQ(place().ask()->of, AskOf::polarity);
}

TEST_F(FlatTest, an_unknown_chemistry_stays_refused_whoever_confirms_what) {
  AdmissionFacts facts;
  facts.nameplate.cells = 6;
  facts.nameplate.chemistry = Chemistry::unknown;
  facts.volts = Volt(1.0);
  facts.polarity_confirmed = facts.cells_confirmed = facts.begins_with_charge = true;
  ASSERT_TRUE(refusal(facts));
  EXPECT_FALSE(refusal(facts)->ask);
}

}  // namespace
}  // namespace leadwright
