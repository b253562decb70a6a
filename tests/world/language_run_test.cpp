// SPDX-License-Identifier: Apache-2.0
// Procedures of a person's own, carried out: pulses, power, questions, decisions, calls, variants.
#include <boost/json.hpp>

#include "tests/world/extra_procedures.h"
#include "tests/world/wire_log.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class LanguageRun : public WorldTest {
 protected:
  static constexpr const char* load_link = "memory:bay-1.load";

  void begin(const std::string& spec = "cell:sound,c20_ah=60,charged=0.9",
             const std::function<void(WorldOptions&)>& change = {}) {
    WorldOptions options;
    options.tap = log.tap();
    options.change_settings = [this](Settings& settings) {
      settings.procedures_folder = procedures.folder();
    };
    if (change) change(options);
    make_world(std::move(options));
    bring("x", spec);
    ticket = drop_off("S-1", "flooded", 6, "own");
    carry("x", ticket, bay);
  }

  Response start(const std::string& more = {}) {
    world->ask("place.acknowledge", bay, R"({"of":"cautions"})");
    return world->ask("place.start", bay, R"({"procedure":"own")" + more + "}");
  }
  void run() {
    const Response started = start();
    ASSERT_EQ(started.status, 202) << started.body;
    ASSERT_TRUE(world->finish(bay));
  }
  const RunResult& result() { return results.back(); }
  Place& place() { return *world->bench().place(bay); }

  /// Samples of a step, by its name; of its n-th time.
  std::vector<Sample> samples(const std::string& step, int time = 0) {
    for (const Trace::StepSpan& span : result().trace.steps) {
      if (span.name != step || time-- > 0) continue;
      return {result().trace.samples.begin() + static_cast<std::ptrdiff_t>(span.first),
              result().trace.samples.begin() + static_cast<std::ptrdiff_t>(span.last)};
    }
    return {};
  }
  int times(const std::string& step) {
    return static_cast<int>(std::ranges::count_if(
        result().trace.steps, [&step](const Trace::StepSpan& span) { return span.name == step; }));
  }

  /// "own" is the procedure of the ticket.
  ExtraProcedures procedures;
  WorldWireLog log;
  std::string ticket;
};

constexpr const char* rest = R"(
[[step]]
name = "rest"
do = "rest"
what = "Rest."
at_most = "20 s"
every = "2 s"
keep = { before = "volts" }
)";

TEST_F(LanguageRun, a_pulse_train_switches_between_its_two_currents_and_ends_off) {
  procedures.add("own", std::string(rest) + R"(
[[step]]
name = "pulses"
do = "pulse"
what = "Pulses."
amps = "20 A"
base = "2 A"
width = "2 s"
pause = "5 s"
count = 4
cutoff = "1.5 V * cells"
at_most = "2 min"
)");
  begin();
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  int edges = 0;
  double before = 0.0;
  for (const Sample& sample : samples("pulses")) {
    ASSERT_TRUE(sample.amps);
    const double amps = sample.amps->si();
    if (before < 3.0 && amps > 19.0) ++edges;
    before = amps;
  }
  // The ramp's last stage goes to full once more.
  EXPECT_GE(edges, 4);
  EXPECT_LE(edges, 5);
  EXPECT_TRUE(is_off());
  EXPECT_EQ(result().trace.steps.back().end, "every pulse was given");
}

TEST_F(LanguageRun, a_draw_of_power_takes_more_current_as_the_voltage_falls) {
  procedures.add("own", std::string(rest) + R"(
[[step]]
name = "power"
do = "draw"
what = "Draw 120 W."
watts = "120 W"
amps_max = "14 A"
cutoff = "1.6 V * cells"
until = [{ name = "half an hour", when = "step_time > 30 min and volts > 1 V" }]
at_most = "1 h"
)");
  begin();
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  const std::vector<Sample> drawn = samples("power");
  ASSERT_GT(drawn.size(), 100U);
  for (std::size_t i = drawn.size() / 2; i < drawn.size(); ++i) {
    EXPECT_NEAR((*drawn[i].volts * *drawn[i].amps).si(), 120.0, 120.0 * 0.02);
  }
  EXPECT_GT(*drawn.back().amps, *drawn[drawn.size() / 4].amps);
}

TEST_F(LanguageRun, a_draw_of_power_never_takes_more_than_its_amps_max) {
  procedures.add("own", std::string(rest) + R"(
[[step]]
name = "power"
do = "draw"
what = "Draw 120 W, but little current."
watts = "120 W"
amps_max = "8 A"
cutoff = "1.6 V * cells"
at_most = "5 min"
)");
  begin();
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  for (const Sample& sample : samples("power")) EXPECT_LE(sample.amps->si(), 8.05);
}

TEST_F(LanguageRun, a_draw_through_a_resistance_takes_less_current_as_the_voltage_falls) {
  procedures.add("own", std::string(rest) + R"(
[[step]]
name = "resistor"
do = "draw"
what = "Draw through 1 ohm."
ohms = "1 ohm"
amps_max = "14 A"
cutoff = "1.6 V * cells"
until = [{ name = "an hour", when = "step_time > 60 min and volts > 1 V" }]
at_most = "2 h"
)");
  begin();
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  const std::vector<Sample> drawn = samples("resistor");
  for (std::size_t i = drawn.size() / 2; i < drawn.size(); ++i) {
    EXPECT_NEAR(drawn[i].volts->si() / drawn[i].amps->si(), 1.0, 0.02);
  }
}

TEST_F(LanguageRun, a_step_that_the_load_can_not_do_is_done_by_its_variant_and_the_finding_says_estimated) {
  procedures.add("own", std::string(rest) + R"(
[[step]]
name = "lower"
do = "draw"
what = "Draw 5 A."
amps = "5 A"
cutoff = "1.5 V * cells"
at_most = "20 s"
[[step]]
name = "heavy"
do = "draw"
what = "Draw half the CCA."
amps = "0.5 * 600 A"
cutoff = "1.5 V * cells"
at_most = "15 s"
[step.instead]
amps = "25 A"
cutoff = "1.5 V * cells"
at_most = "20 s"
note = "estimated from 25 A"
[[step]]
name = "state"
do = "state"
what = "State."
finding = "resistance"
of = ["lower", "heavy"]
)");
  begin();
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  EXPECT_NEAR(samples("heavy").back().amps->si(), 25.0, 0.5);
  ASSERT_FALSE(result().findings.empty());
  EXPECT_THAT(result().findings.front().method, HasSubstr("estimated from 25 A"));
}

TEST_F(LanguageRun, a_decision_goes_back_as_often_as_it_may_and_no_more) {
  procedures.add("own", std::string(rest) + R"(
[[step]]
name = "again"
do = "decide"
what = "Always once more."
when = "before > 1 V"
then = "rest"
times_max = 3
)");
  begin();
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  EXPECT_EQ(times("rest"), 4);
}

TEST_F(LanguageRun, what_a_step_kept_decides_where_to_go_on) {
  procedures.add("own", std::string(rest) + R"(
[[step]]
name = "flat?"
do = "decide"
what = "A flat battery is only rested."
when = "before < 2.0 V * cells"
then = "end"
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "5 A"
cutoff = "1.6 V * cells"
at_most = "10 s"
)");
  begin();
  run();
  EXPECT_EQ(times("draw"), 1);
  begin("cell:sound,c20_ah=60,charged=0.05");
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  EXPECT_EQ(times("draw"), 0);
}

constexpr const char* question = R"toml(
[[step]]
name = "how much"
do = "ask"
what = "Asks for a current."
question = "How many amperes may be drawn?"
answer = "number"
unit = "A"
min = "1 A"
max = "10 A"
keep = "allowed"
at_most = "1 h"
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "min(allowed, 10 A)"
cutoff = "1.6 V * cells"
at_most = "10 s"
)toml";

TEST_F(LanguageRun, a_question_waits_with_nothing_on_and_its_answer_is_a_value) {
  procedures.add("own", question);
  begin();
  ASSERT_EQ(start().status, 202);
  world->clock().run_for(minutes(10.0));
  ASSERT_TRUE(place().ask());
  EXPECT_EQ(place().ask()->text, "How many amperes may be drawn? (in A)");
  EXPECT_TRUE(is_off());
  const Response wrong = world->ask("place.acknowledge", bay, R"({"of":"question","answer":"11 A"})");
  EXPECT_EQ(wrong.status, 400) << wrong.body;
  EXPECT_THAT(wrong.body, HasSubstr("the most is 10 A"));
  EXPECT_EQ(world->ask("place.acknowledge", bay, R"({"of":"question","answer":"7 V"})").status, 400);
  const Response right = world->ask("place.acknowledge", bay, R"({"of":"question","answer":"7"})");
  ASSERT_EQ(right.status, 200) << right.body;
  ASSERT_TRUE(world->finish(bay));
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  EXPECT_NEAR(samples("draw").back().amps->si(), 7.0, 0.1);
  EXPECT_FALSE(place().ask());
}

TEST_F(LanguageRun, a_question_that_nobody_answers_stops_the_run) {
  procedures.add("own", question);
  begin();
  ASSERT_EQ(start().status, 202);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(result().run.outcome, RunOutcome::stopped);
  EXPECT_THAT(result().run.end_reason, HasSubstr("nobody answered: How many amperes"));
  EXPECT_EQ(log.energy_count(load_link, Instant{}), 0);
}

TEST_F(LanguageRun, a_called_procedure_runs_with_its_argument_and_within_its_own_limits) {
  procedures.add("part", R"(
[parameters.wanted]
what = "x"
default = "5 A"
min = "1 A"
max = "10 A"
[limits]
volts_min = "11.9 V"
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "wanted"
until = [{ name = "low", when = "volts < 11.95 V" }]
at_most = "30 s"
)");
  procedures.add("own", std::string(rest) + R"(
[[step]]
name = "part"
do = "call"
what = "A part."
procedure = "part"
with = { wanted = "8 A" }
[[step]]
name = "deeper"
do = "draw"
what = "Draw."
amps = "25 A"
cutoff = "1.6 V * cells"
at_most = "20 s"
)");
  begin();
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  EXPECT_NEAR(samples("part: draw").back().amps->si(), 8.0, 0.1);
  EXPECT_EQ(times("deeper"), 1);
}

TEST_F(LanguageRun, a_parameter_can_be_chosen_at_the_start_within_its_limits) {
  procedures.add("own", R"(
[parameters.wanted]
what = "x"
default = "5 A"
min = "1 A"
max = "10 A"
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "wanted"
cutoff = "1.6 V * cells"
at_most = "10 s"
)");
  begin();
  const Response wrong = start(R"(,"parameters":{"wanted":"5 V"})");
  EXPECT_EQ(wrong.status, 400) << wrong.body;
  ASSERT_EQ(start(R"(,"parameters":{"wanted":"11 A"})").status, 202);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(result().run.outcome, RunOutcome::stopped);
  EXPECT_THAT(result().run.end_reason, HasSubstr("wanted is above its limit"));
  EXPECT_EQ(log.energy_count(load_link, Instant{}), 0);
  ASSERT_EQ(start(R"(,"parameters":{"wanted":"9 A"})").status, 202);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_NEAR(samples("draw").back().amps->si(), 9.0, 0.1);
}

TEST_F(LanguageRun, pulses_do_not_energise_a_battery_with_a_proven_fault) {
  procedures.add("own", test_step("pulses", "pulse", R"(amps = "20 A"
width = "2 s"
pause = "5 s"
count = 4
cutoff = "1.5 V * cells"
at_most = "2 min")"));
  begin("cell:shorted_cell");
  ASSERT_EQ(world->start(bay, "intake check").status, 202);
  ASSERT_TRUE(world->finish(bay));
  ASSERT_FALSE(file(ticket).faults.empty());
  const Instant proved = world->clock().now();
  const Response refused = start();
  EXPECT_EQ(refused.status, 409) << refused.body;
  EXPECT_THAT(refused.body, HasSubstr("proven fault"));
  world->clock().run_for(minutes(5.0));
  EXPECT_EQ(log.energy_count(load_link, proved), 0);
}

TEST_F(LanguageRun, a_measurement_waits_until_it_is_stable) {
  procedures.add("own", R"(
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "20 A"
cutoff = "1.6 V * cells"
at_most = "60 s"
[[step]]
name = "settle"
do = "measure"
what = "Until it is stable."
stable = "5 mV"
stable_for = "30 s"
every = "1 s"
at_most = "30 min"
)");
  begin();
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  EXPECT_EQ(result().trace.steps.back().end, "stable");
  const std::vector<Sample> settled = samples("settle");
  EXPECT_GT(settled.back().at - settled.front().at, Second(30.0));
  EXPECT_LT(settled.back().at - settled.front().at, minutes(29.0));
}

TEST_F(LanguageRun, a_stated_fault_ends_the_run_well_and_stays) {
  procedures.add("own", std::string(rest) + R"(
[[step]]
name = "too high"
do = "state"
what = "States it."
fault = "not_lead"
evidence = "it is a test"
when = "before > 1 V"
ends = true
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "5 A"
cutoff = "1.6 V * cells"
at_most = "10 s"
)");
  begin();
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  ASSERT_EQ(result().faults.size(), 1U);
  EXPECT_EQ(result().faults.front().kind, FaultKind::not_lead);
  EXPECT_EQ(log.energy_count(load_link, Instant{}), 0);
}

TEST_F(LanguageRun, a_charge_ends_at_its_taper) {
  procedures.add("own", std::string(rest) + R"(
[[step]]
name = "charge"
do = "charge"
what = "Charge."
amps = "12 A"
watts = "120 W"
volts = "charge_volts"
taper = "0.05 * capacity / 1 h"
taper_hold = "5 min"
at_most = "20 h"
)");
  begin("cell:sound,c20_ah=60,charged=0.8");
  run();
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  EXPECT_EQ(result().trace.steps.back().end, "the current has fallen to the taper");
  const std::vector<Sample> charged = samples("charge");
  EXPECT_LT(abs(*charged.back().amps), Ampere(3.0));
  // 120 W at 14.4 V.
  for (const Sample& sample : charged) EXPECT_LT(abs(*sample.amps), Ampere(8.5));
}

TEST_F(LanguageRun, a_plan_says_what_a_procedure_would_do_with_a_battery_at_a_place) {
  procedures.add("own", std::string(rest));
  begin();
  const Response planned =
      world->ask("procedure.plan", "reserve capacity", R"({"place":"bay-1","ticket":")" + ticket + R"("})");
  ASSERT_EQ(planned.status, 200) << planned.body;
  const auto plan = boost::json::parse(planned.body).as_object();
  EXPECT_TRUE(plan.at("obstacles").as_array().empty()) << planned.body;
  // 100 min at 25 A, and the rests.
  EXPECT_NEAR(plan.at("expected_s").to_number<double>(), 6000.0 + 120.0, 10.0);
  EXPECT_NEAR(plan.at("drawn_max_ah").to_number<double>(), 300.0, 1.0);
  EXPECT_THAT(std::string(plan.at("steps").as_array()[1].as_object().at("does").as_string()),
              HasSubstr("draws 25 A; the load itself cuts off at 10.3 V"));
  EXPECT_EQ(plan.at("out_of_turn"), "the intake check comes before a test");
  const Response nowhere = world->ask("procedure.plan", "reserve capacity",
                                      R"({"place":"charge-1","ticket":")" + ticket + R"("})");
  EXPECT_THAT(nowhere.body, HasSubstr("this place has no load"));
  const Response lithium =
      world->ask("procedure.plan", "standard charge",
                 R"({"place":"charge-1","battery":{"serial":"x","chemistry":"lithium","cells":6}})");
  EXPECT_THAT(lithium.body, HasSubstr("is never energised"));
  EXPECT_THAT(lithium.body, HasSubstr(R"("out_of_turn":null)"));
}

}  // namespace
}  // namespace leadwright
