// SPDX-License-Identifier: Apache-2.0
// A run that its daemon did not end says nothing of how much it drew: by what its procedure may draw, its
// battery is recharged before it leaves, or not.
#include "tests/world/extra_procedures.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

struct VoidRun {
  const char* name;
  const char* procedure;
  bool consent;
  bool may_empty;  ///< it may draw a quarter of the capacity
};

struct EachVoidRun : WorldTest, testing::WithParamInterface<VoidRun> {
  void SetUp() override {
    procedures.add("watts", test_step("draw", "draw",
                                      "watts = \"120 W\"\namps_max = \"14 A\"\nat_most = \"10 s\"\n"
                                      "cutoff = \"1.7 V * cells\""));
    procedures.add("ohms", test_step("draw", "draw",
                                     "ohms = \"1.5 ohm\"\namps_max = \"14 A\"\nat_most = \"10 s\"\n"
                                     "cutoff = \"1.7 V * cells\""));
    WorldOptions options;
    options.change_settings = [this](Settings& settings) {
      settings.procedures_folder = procedures.folder();
    };
    make_world(std::move(options));
  }
  ExtraProcedures procedures;
};

TEST_P(EachVoidRun, leaves_a_battery_to_be_recharged_if_it_may_draw_a_quarter_of_the_capacity) {
  bring("x", "cell:sound");
  const std::string ticket = drop_off("S-1", "flooded", 6, GetParam().procedure);
  carry("x", ticket, bay);
  ASSERT_EQ(world->ask("place.acknowledge", bay, R"({"of":"cautions"})").status, 200);
  const Response started =
      world->ask("place.start", bay, GetParam().consent ? R"({"consented_by":"A. Owner"})" : "");
  ASSERT_EQ(started.status, 202) << started.body;
  world->clock().run_for(Second(5.0));
  ASSERT_FALSE(file(ticket).ticket.needs_recharge);
  world->kill();
  world->clock().run_for(minutes(20.0));  // longer than any run may be interrupted
  world->restart();
  world->clock().run_for(Second(1.0));
  ASSERT_FALSE(file(ticket).runs.empty());
  EXPECT_EQ(file(ticket).runs.back().procedure, GetParam().procedure);
  EXPECT_EQ(file(ticket).runs.back().outcome, RunOutcome::void_);
  EXPECT_EQ(file(ticket).ticket.needs_recharge, GetParam().may_empty);
  EXPECT_EQ(world->store().load()->tickets.back().needs_recharge, GetParam().may_empty);
  const Response handed_back = world->ask("ticket.close", ticket, R"({"as":"handed_back"})");
  EXPECT_EQ(handed_back.body.find("it was not recharged since") != std::string::npos, GetParam().may_empty)
      << handed_back.body;
}

INSTANTIATE_TEST_SUITE_P(
    Procedures, EachVoidRun,
    testing::Values(VoidRun{"reserve_capacity", "reserve capacity", false, true},
                    VoidRun{"until_decided", "reserve capacity until decided", false, true},
                    VoidRun{"conditioning_cycle", "conditioning cycle", true, true},
                    VoidRun{"capacity_20h", "20-hour capacity", true, true},
                    VoidRun{"power_without_amps", "watts", false, true},
                    VoidRun{"resistance_without_amps", "ohms", false, true},
                    VoidRun{"intake_check", "intake check", false, false},
                    VoidRun{"standard_charge", "standard charge", false, false}),
    [](const testing::TestParamInfo<VoidRun>& each) { return std::string(each.param.name); });

struct DrawnBefore : WorldTest {};

TEST_F(DrawnBefore, what_an_earlier_daemon_drew_counts_by_what_its_runs_may_draw_until_a_charge) {
  make_world();
  bring("x", "cell:sound");
  const std::string ticket = drop_off("S-1", "flooded", 6, "reserve capacity");
  carry("x", ticket, bay);
  ASSERT_EQ(world->start(bay, "intake check").status, 202);
  // The discharge follows by itself.
  world->clock().run_for(minutes(9.0));
  ASSERT_EQ(world->bench().place(bay)->run()->order().run.procedure, "reserve capacity");
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"test"})").status, 200);
  ASSERT_TRUE(world->finish(bay, minutes(1.0)));
  ASSERT_FALSE(file(ticket).ticket.needs_recharge) << "little was drawn, and it was counted";
  world->clock().run_for(Second(5.0));
  world->kill_and_restart();
  EXPECT_TRUE(file(ticket).ticket.needs_recharge) << "nobody knows any more how little";
  carry("x", ticket, charging);
  ASSERT_EQ(world->start(charging, "recharge before leaving").status, 202);
  ASSERT_TRUE(world->finish(charging));
  ASSERT_FALSE(file(ticket).ticket.needs_recharge) << results.back().run.end_reason;
  world->clock().run_for(Second(5.0));
  world->kill_and_restart();
  EXPECT_FALSE(file(ticket).ticket.needs_recharge);
}

struct LostProcedure : WorldTest {};

TEST_F(LostProcedure, a_void_run_of_which_nobody_knows_what_it_did_leaves_a_battery_to_be_recharged) {
  make_world();
  const std::string ticket = begin_run("cell:sound", "intake check");
  world->clock().run_for(Second(5.0));
  world->kill();
  leadwright::Run renamed = world->store().load()->runs.back();
  renamed.procedure = "of a file that is gone";
  world->store().write({renamed}, {});
  world->clock().run_for(Second(1.0));
  world->restart();
  world->clock().run_for(Second(1.0));
  EXPECT_EQ(file(ticket).runs.back().outcome, RunOutcome::void_);
  EXPECT_TRUE(file(ticket).ticket.needs_recharge);
}

}  // namespace
}  // namespace leadwright
