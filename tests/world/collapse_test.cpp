// SPDX-License-Identifier: Apache-2.0
// The voltage collapses under a draw: the clamps are suspected first, the battery only after a person has
// reseated them, and an empty one is charged before it is called broken.
#include "daemon/grading/full_charge.h"
#include "tests/world/scripted_battery.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

class CollapseTest : public WorldTest {
 protected:
  void SetUp() override { make_world(); }
  void clamp_on(const std::string& spec) {
    bring("x", spec);
    ticket = drop_off("S-1");
    carry("x", ticket, bay);
  }
  /// A sound battery in clamps that the test may spoil.
  void clamp_on_scripted() {
    ASSERT_TRUE(world->sim().shelve("x", std::make_unique<ScriptedBattery>(script)));
    ticket = drop_off("S-1");
    carry("x", ticket, bay);
  }
  void check() {
    ASSERT_EQ(world->start(bay, "intake check").status, 202);
    ASSERT_TRUE(world->finish(bay, minutes(10.0)));
  }
  Response reseated() { return world->ask("place.acknowledge", bay, R"({"of":"clamps"})"); }
  const std::optional<Ask>& asked() { return world->bench().place(bay)->ask(); }
  const std::vector<Fault>& faults() { return file(ticket).faults; }
  BatteryScript script;
  std::string ticket;
};

TEST_F(CollapseTest, an_open_joint_is_blamed_only_after_the_clamps_were_reseated) {
  clamp_on("cell:open");
  check();
  ASSERT_TRUE(asked());
  EXPECT_EQ(asked()->of, AskOf::clamps);
  EXPECT_THAT(asked()->text, HasSubstr("the voltage collapsed from 12.6"));
  EXPECT_THAT(faults(), IsEmpty());
  ASSERT_EQ(reseated().status, 200);
  check();
  ASSERT_EQ(faults().size(), 1U);
  EXPECT_EQ(faults()[0].kind, FaultKind::open_circuit);
  EXPECT_THAT(faults()[0].evidence, HasSubstr("had reseated the clamps"));
  ASSERT_TRUE(file(ticket).grade);
  EXPECT_EQ(file(ticket).grade->letter, 'F');
}

TEST_F(CollapseTest, starting_again_without_reseating_blames_nobody) {
  clamp_on("cell:open");
  check();
  check();
  EXPECT_THAT(faults(), IsEmpty());
  ASSERT_TRUE(asked());
  EXPECT_EQ(asked()->of, AskOf::clamps);
}

TEST_F(CollapseTest, a_clamp_that_was_bad_never_counts_against_the_battery) {
  clamp_on_scripted();
  script.clamp_ohm = 4.0;
  check();
  ASSERT_TRUE(asked());
  ASSERT_EQ(asked()->of, AskOf::clamps);
  script.clamp_ohm = 0.0;
  ASSERT_EQ(reseated().status, 200);
  check();
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  EXPECT_THAT(faults(), IsEmpty());
}

TEST_F(CollapseTest, what_was_reseated_for_one_run_says_nothing_of_the_next) {
  clamp_on_scripted();
  script.clamp_ohm = 4.0;
  check();
  script.clamp_ohm = 0.0;
  ASSERT_EQ(reseated().status, 200);
  check();
  script.clamp_ohm = 4.0;
  check();
  EXPECT_THAT(faults(), IsEmpty());
  ASSERT_TRUE(asked());
  EXPECT_EQ(asked()->of, AskOf::clamps);
}

TEST_F(CollapseTest, an_empty_battery_that_collapses_is_charged_next) {
  clamp_on("cell:sulphated,charged=0.1");
  check();
  ASSERT_EQ(reseated().status, 200);
  check();
  EXPECT_THAT(faults(), IsEmpty());
  const auto next = next_work(file(ticket), Policy());
  ASSERT_TRUE(next);
  EXPECT_EQ(next->procedure, procedure_name::charge);
}

TEST_F(CollapseTest, a_battery_too_flat_for_the_light_draw_is_measured_and_recovered_next) {
  clamp_on("cell:reversed_cell");
  check();
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  const Finding* volts = file(ticket).newest(Measurand::ocv);
  ASSERT_NE(volts, nullptr);
  EXPECT_NEAR(volts->value, 8.52, 0.02);
  const auto next = next_work(file(ticket), Policy());
  ASSERT_TRUE(next);
  EXPECT_EQ(next->procedure, procedure_name::recovery);
}

/// Drawn at 25 A, as its minutes are measured.
class ClampsAt25A : public CollapseTest {
 protected:
  void SetUp() override {
    make_world();
    ASSERT_TRUE(world->sim().shelve("x", std::make_unique<ScriptedBattery>(script)));
    ticket = drop_off("S-1", "flooded", 6, "reserve capacity");
    carry("x", ticket, bay);
  }
  const RunResult& drawn_for(Second time) {
    EXPECT_EQ(world->start(bay, "reserve capacity").status, 202);
    (void)world->finish(bay, time);
    return results.empty() ? none_ : results.back();
  }
  bool is_running() { return world->bench().place(bay)->activity() == Activity::running; }

 private:
  RunResult none_;
};

TEST_F(ClampsAt25A, that_lose_more_than_1_v_in_the_first_seconds_are_asked_about_before_minutes_are_lost) {
  // The last two lie below the end of the test and below the load's own cut-off.
  for (const double ohm : {0.035, 0.078, 0.084}) {
    script.clamp_ohm = ohm;
    EXPECT_THAT(drawn_for(minutes(5.0)).run.end_reason,
                testing::AnyOf(HasSubstr("it loses more than 1 V"), HasSubstr("check the clamps first")))
        << ohm;
    ASSERT_TRUE(asked()) << ohm;
    EXPECT_EQ(asked()->of, AskOf::clamps);
  }
  EXPECT_THAT(asked()->text, HasSubstr("reseat both clamps"));
  EXPECT_TRUE(hardly_drew(file(ticket).runs.back()));
  EXPECT_FALSE(file(ticket).ticket.needs_recharge);
  EXPECT_THAT(faults(), IsEmpty());
}

TEST_F(ClampsAt25A, that_were_reseated_leave_what_is_still_lost_to_the_battery) {
  script.resistance_ohm = 0.05;
  (void)drawn_for(minutes(5.0));
  ASSERT_TRUE(asked());
  ASSERT_EQ(reseated().status, 200);
  (void)drawn_for(minutes(5.0));
  EXPECT_TRUE(is_running()) << results.back().run.end_reason;
}

TEST_F(ClampsAt25A, are_not_blamed_for_what_a_cold_or_poor_battery_loses) {
  script.resistance_ohm = 0.036;
  script.temperature = Celsius(5.0);
  (void)drawn_for(minutes(5.0));
  EXPECT_TRUE(is_running()) << results.back().run.end_reason;
}

/// Under half of 600 A, in clamps and at temperatures that the test chooses.
class HeavyCollapseTest : public CollapseTest {
 protected:
  void SetUp() override {
    WorldOptions options;
    options.heavy_loads = true;
    options.change_settings = [this](Settings& settings) {
      if (!policy_.empty())
        settings.policy_file = LEADWRIGHT_SOURCE_DIR "/config/policies/" + policy_ + ".toml";
    };
    make_world(std::move(options));
    ASSERT_TRUE(world->sim().shelve("x", std::make_unique<ScriptedBattery>(script)));
    const Response added = world->ask(
        "ticket.add", "",
        R"({"battery":{"serial":"S-1","chemistry":"flooded","cells":6,"cca_a":600,"cca_standard":"sae"},)"
        R"("procedures":["half-CCA load test"]})");
    ASSERT_EQ(added.status, 201) << added.body;
    ticket = shown(world->bench().ledger().files().rbegin()->first);
    carry("x", ticket, bay);
  }
  void load_test() {
    begin();
    ASSERT_TRUE(asked());
    ASSERT_EQ(asked()->of, AskOf::shield);
    ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"shield"})").status, 200);
    begin();
  }

  std::string policy_;

 private:
  void begin() {
    ASSERT_EQ(world->start(bay, "half-CCA load test").status, 202);
    ASSERT_TRUE(world->finish(bay, minutes(20.0)));
  }
};

TEST_F(HeavyCollapseTest, a_battery_that_cant_give_half_its_cca_fails_once_the_clamps_were_reseated) {
  script.resistance_ohm = 0.05;
  load_test();
  EXPECT_EQ(results.back().run.outcome, RunOutcome::stopped);
  EXPECT_THAT(faults(), IsEmpty());
  ASSERT_TRUE(asked());
  EXPECT_EQ(asked()->of, AskOf::clamps);
  EXPECT_THAT(asked()->text, HasSubstr("it fails under load"));
  ASSERT_EQ(reseated().status, 200);
  load_test();
  ASSERT_EQ(faults().size(), 1U);
  EXPECT_EQ(faults()[0].kind, FaultKind::fails_under_load);
  EXPECT_THAT(faults()[0].evidence, HasSubstr("100 % of half its CCA, where it should hold 9.60 V"));
  ASSERT_TRUE(file(ticket).grade);
  EXPECT_EQ(file(ticket).grade->letter, 'F');
}

TEST_F(HeavyCollapseTest, the_rest_before_the_second_try_forgets_nothing) {
  script.resistance_ohm = 0.05;
  load_test();
  ASSERT_EQ(reseated().status, 200);
  ASSERT_EQ(world->start(bay, "stability rest").status, 202);
  ASSERT_TRUE(world->finish(bay, hours(10.0)));
  load_test();
  ASSERT_EQ(faults().size(), 1U);
  EXPECT_EQ(faults()[0].kind, FaultKind::fails_under_load);
}

TEST_F(HeavyCollapseTest, who_carries_it_to_another_place_is_asked_about_those_clamps_too) {
  script.clamp_ohm = 0.05;
  load_test();
  ASSERT_EQ(reseated().status, 200);
  carry("x", ticket, charging);
  carry("x", ticket, bay);
  load_test();
  EXPECT_THAT(faults(), IsEmpty());
  ASSERT_TRUE(asked());
  EXPECT_EQ(asked()->of, AskOf::clamps);
}

TEST_F(HeavyCollapseTest, a_clamp_that_was_bad_at_300_a_never_counts_against_the_battery) {
  script.clamp_ohm = 0.05;
  load_test();
  ASSERT_TRUE(asked());
  EXPECT_EQ(asked()->of, AskOf::clamps);
  script.clamp_ohm = 0.0;
  ASSERT_EQ(reseated().status, 200);
  load_test();
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  EXPECT_THAT(faults(), IsEmpty());
}

// Its least is 8.9 V there, and the load cuts off at 9.12 V.
TEST_F(HeavyCollapseTest, a_cold_battery_that_the_load_leaves_too_early_is_not_judged) {
  script.temperature = Celsius(-10.0);
  script.resistance_ohm = 0.0118;
  load_test();
  ASSERT_TRUE(asked());
  ASSERT_EQ(reseated().status, 200);
  load_test();
  EXPECT_NE(results.back().run.outcome, RunOutcome::complete);
  EXPECT_THAT(faults(), IsEmpty());
}

/// Where a load test may decide the letter, and the battery is full.
class FailedLoadTest : public HeavyCollapseTest {
 protected:
  void SetUp() override {
    policy_ = "new_battery";
    HeavyCollapseTest::SetUp();
  }
  /// As the charge leaves it that a failed load test asks for.
  void charge() {
    ASSERT_EQ(world->start(bay, "intake check").status, 202);
    ASSERT_TRUE(world->finish(bay, minutes(10.0)));
    script.rested = Volt(12.5);
    script.clamp_ohm = 0.3;  // stands for what a battery does at the end of its charge
    ASSERT_EQ(world->start(bay, "standard charge").status, 202);
    ASSERT_TRUE(world->finish(bay, hours(40.0)));
    script.clamp_ohm = 0.0;
    world->clock().run_for(hours(2.0));  // its gas goes
  }
  /// The load test once more; nobody is asked again.
  void reseat_and_load() {
    ASSERT_EQ(reseated().status, 200);
    load_test();
    EXPECT_FALSE(asked());
  }
  /// The same where it decides the letter.
  void expect_after_reseating(char letter) {
    reseat_and_load();
    ASSERT_TRUE(file(ticket).grade);
    EXPECT_EQ(file(ticket).grade->letter, letter);
  }
};

TEST_F(FailedLoadTest, what_was_not_full_is_charged_before_anybody_is_asked) {
  script.rested = Volt(12.5);
  script.resistance_ohm = 0.0104;  // C: 0.22 V below the least
  load_test();
  EXPECT_FALSE(asked());
  EXPECT_FALSE(file(ticket).grade);
  const auto policy = load_policy(LEADWRIGHT_SOURCE_DIR "/config/policies/new_battery.toml");
  ASSERT_TRUE(policy);
  EXPECT_EQ(next_work(file(ticket), *policy)->procedure, procedure_name::charge);
}

TEST_F(FailedLoadTest, a_clamp_that_failed_a_load_test_without_a_collapse_is_set_anew_and_it_passes) {
  charge();
  script.clamp_ohm = 0.004;  // C: 1.2 V at 300 A
  script.resistance_ohm = 0.0063;
  load_test();
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  ASSERT_TRUE(asked());
  EXPECT_EQ(asked()->of, AskOf::clamps);
  EXPECT_FALSE(file(ticket).grade);
  script.clamp_ohm = 0.0;
  reseat_and_load();
  EXPECT_GT(file(ticket).newest(Measurand::load_margin)->value, 0.0);
}

TEST_F(FailedLoadTest, what_fails_again_after_its_clamps_were_set_anew_is_the_batterys) {
  charge();
  script.resistance_ohm = 0.01036;  // C: 0.21 V below the least, the guard band is 0.18 V
  load_test();
  EXPECT_FALSE(file(ticket).grade);
  ASSERT_TRUE(asked());
  EXPECT_THAT(asked()->text, HasSubstr("it fails under load, and a bad clamp looks the same"));
  ASSERT_NO_FATAL_FAILURE(expect_after_reseating('D'));
  EXPECT_THAT(file(ticket).grade->reason, HasSubstr("with both clamps set anew"));
}

TEST_F(FailedLoadTest, what_lies_within_the_guard_band_is_asked_about_once) {
  charge();
  script.resistance_ohm = 0.00987;  // C: 0.06 V below the least
  load_test();
  ASSERT_TRUE(asked());
  EXPECT_THAT(asked()->text, HasSubstr("too near to the least under load to decide"));
  ASSERT_NO_FATAL_FAILURE(expect_after_reseating('U'));
}

}  // namespace
}  // namespace leadwright
