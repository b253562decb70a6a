// SPDX-License-Identifier: Apache-2.0
// A charge through a bad clamp ends early: a person is asked for the clamps before the next one, and a joint
// that is open shows by what the battery then does not take.
#include "tests/world/scripted_battery.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

class ClampsAtCharge : public WorldTest {
 protected:
  void SetUp() override { begin({}); }
  void begin(WorldOptions options) {
    make_world(std::move(options));
    script.rested = Volt(12.1);
    ASSERT_TRUE(world->sim().shelve("x", std::make_unique<ScriptedBattery>(script)));
    ticket = drop_off("S-1");
    carry("x", ticket, bay);
  }
  Response started(const std::string& at, const std::string& procedure) {
    const Response answer = world->start(at, procedure);
    if (answer.status == 202) (void)world->finish(at, hours(30.0));
    return answer;
  }
  const std::optional<Ask>& asked(const std::string& at) { return world->bench().place(at)->ask(); }
  Response reseated(const std::string& at) {
    return world->ask("place.acknowledge", at, R"({"of":"clamps"})");
  }
  /// Looked at, charged through a clamp that takes two volts, and rested.
  void charge_badly() {
    ASSERT_EQ(started(bay, "intake check").status, 202);
    carry("x", ticket, charging);
    script.clamp_ohm = 0.4;
    ASSERT_EQ(started(charging, "standard charge").status, 202);
    ASSERT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  }
  /// Until its rest after the charge has told how far it got.
  void rest() {
    for (int i = 0; i < 100 && !charge_in_doubt(file(ticket), Policy()); ++i)
      world->clock().run_for(minutes(10.0));
    ASSERT_TRUE(charge_in_doubt(file(ticket), Policy()));
  }
  BatteryScript script;
  std::string ticket;
};

TEST_F(ClampsAtCharge, that_ended_early_are_asked_about_before_the_next_charge) {
  charge_badly();
  rest();
  world->clock().run_for(hours(2.0));
  const Response refused = started(charging, "standard charge");
  EXPECT_EQ(refused.status, 409) << refused.body;
  ASSERT_TRUE(asked(charging));
  EXPECT_EQ(asked(charging)->of, AskOf::clamps);
  EXPECT_THAT(asked(charging)->text, HasSubstr("a charge has ended and it rests far below full"));
  script.clamp_ohm = 0.0;
  ASSERT_EQ(reseated(charging).status, 200);
  ASSERT_EQ(started(charging, "standard charge").status, 202);
  const Finding* taken = file(ticket).newest(Measurand::returned);
  ASSERT_NE(taken, nullptr);
  EXPECT_THAT(taken->conditions, HasSubstr("both clamps set anew before it"));
  EXPECT_TRUE(charged_after_reseating(file(ticket)));
}

TEST_F(ClampsAtCharge, stay_on_while_the_gas_of_the_charge_before_is_there) {
  WorldOptions slow_gas;
  slow_gas.change_settings = [](Settings& settings) { settings.precautions.gas_off = hours(24.0); };
  begin(std::move(slow_gas));
  charge_badly();
  rest();
  const Response refused = started(charging, "standard charge");
  EXPECT_EQ(refused.status, 409);
  EXPECT_THAT(refused.body, HasSubstr("do not unclamp until"));
  EXPECT_FALSE(asked(charging));
}

TEST_F(ClampsAtCharge, set_anew_leave_an_open_joint_that_takes_no_charge_to_the_battery) {
  script.resistance_ohm = 2.0;
  for (const bool is_charged : {false, true}) {
    ASSERT_EQ(started(bay, "intake check").status, 202);
    ASSERT_TRUE(asked(bay));
    ASSERT_EQ(reseated(bay).status, 200);
    ASSERT_EQ(started(bay, "intake check").status, 202);
    if (is_charged) break;
    EXPECT_THAT(file(ticket).faults, IsEmpty()) << "an empty one collapses as well";
    carry("x", ticket, charging);
    ASSERT_EQ(started(charging, "standard charge").status, 409);
    ASSERT_TRUE(asked(charging));
    EXPECT_THAT(asked(charging)->text, HasSubstr("its voltage collapsed"));
    ASSERT_EQ(reseated(charging).status, 200);
    ASSERT_EQ(started(charging, "standard charge").status, 202);
    ASSERT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
    world->clock().run_for(hours(2.0));
    carry("x", ticket, bay);
  }
  ASSERT_EQ(file(ticket).faults.size(), 1U);
  EXPECT_EQ(file(ticket).faults[0].kind, FaultKind::open_circuit);
}

}  // namespace
}  // namespace leadwright
