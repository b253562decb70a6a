// SPDX-License-Identifier: Apache-2.0
#include "tools/client/design_learning.h"

#include <gtest/gtest.h>

#include "daemon/store/json.h"
#include "tests/battery/design_maker.h"

namespace leadwright {
namespace {

TicketPage graded(char letter, double minutes_found) {
  TicketPage page;
  page.battery.serial = "S-1";
  page.battery.nameplate.chemistry = Chemistry::flooded;
  page.battery.nameplate.cells = 6;
  page.battery.nameplate.size_code = "T6";
  page.battery.nameplate.reserve_capacity = Rating<Second>{minutes(120.0), RatingStandard::en};
  Run run;
  run.id = RunId{7};
  run.procedure = "reserve capacity";
  run.outcome = RunOutcome::complete;
  page.runs.push_back(run);
  Finding finding;
  finding.run = run.id;
  finding.measurand = Measurand::reserve_capacity_ref;
  finding.value = minutes_found;
  page.findings.push_back(finding);
  Grade grade;
  grade.letter = letter;
  page.grade = grade;
  return page;
}

/// A minute of rest, a ramp, the draw to its cut-off, a minute of rest.
std::string run_of(const MadeDischarge& made) {
  std::vector<Sample> samples;
  const auto add = [&samples](Second at, int step, Volt volts, Ampere amps) {
    samples.push_back({at, step, volts, amps, Celsius(25.0)});
  };
  add(Second(0.0), 0, Volt(12.7), Ampere(0.0));
  add(Second(60.0), 1, Volt(12.6), Ampere(5.0));
  Second last;
  for (const Sample& sample : made_samples(made)) {
    last = sample.at + Second(64.0);
    add(last, 1, *sample.volts, Ampere(25.0));
  }
  add(last + Second(5.0), 2, Volt(11.5), Ampere(0.0));
  return trace_json(RunId{7}, samples, 1);
}

TEST(DesignLearning, takes_the_last_complete_reserve_capacity_of_a_sound_battery) {
  const auto sound = sound_battery(ticket_json(graded('A', 121.0)));
  ASSERT_TRUE(sound) << sound.error().what;
  EXPECT_EQ(sound->key, (DesignKey{"T6", Chemistry::flooded, minutes(120.0)}));
  EXPECT_EQ(sound->run, "R-000007");
  const auto draw = sound_discharge(*sound, run_of({}));
  ASSERT_TRUE(draw) << draw.error().what;
  EXPECT_EQ(draw->full_from, Second(64.0));
  EXPECT_NEAR(as_minutes(draw->at_full), as_minutes(end_of_made({})), 0.1);
}

TEST(DesignLearning, five_such_runs_teach_the_design) {
  const auto sound = sound_battery(ticket_json(graded('B', 110.0)));
  ASSERT_TRUE(sound) << sound.error().what;
  std::vector<SoundDischarge> draws;
  for (const double rate : {0.96, 0.98, 1.0, 1.02, 1.04})
    draws.push_back(*sound_discharge(*sound, run_of({rate})));
  std::vector<DesignTrace> traces;
  for (const SoundDischarge& draw : draws)
    traces.push_back({draw.samples, draw.full_from, draw.at_full, sound->cells});
  const auto curve = learn_design(sound->key, 1, traces);
  ASSERT_TRUE(curve) << curve.error().what;
  EXPECT_NEAR(curve->at(0.5).volts.si(), made_cell_v(0.5), 1e-3);
  EXPECT_NEAR(as_minutes(curve->time), 120.0, 0.5);
}

TEST(DesignLearning, leaves_out_what_is_worn_faulty_ungraded_or_below_90_percent) {
  EXPECT_FALSE(sound_battery(ticket_json(graded('C', 121.0))));
  EXPECT_FALSE(sound_battery(ticket_json(graded('B', 107.0))));
  TicketPage faulty = graded('A', 121.0);
  faulty.faults.emplace_back();
  EXPECT_FALSE(sound_battery(ticket_json(faulty)));
  TicketPage ungraded = graded('A', 121.0);
  ungraded.grade.reset();
  EXPECT_FALSE(sound_battery(ticket_json(ungraded)));
  TicketPage unsized = graded('A', 121.0);
  unsized.battery.nameplate.size_code.clear();
  EXPECT_EQ(sound_battery(ticket_json(unsized)).error().code, Errc::unsupported);
  TicketPage stopped = graded('A', 121.0);
  stopped.runs.front().outcome = RunOutcome::stopped;
  EXPECT_FALSE(sound_battery(ticket_json(stopped)));
}

TEST(DesignLearning, says_of_a_trace_without_a_draw_that_it_teaches_nothing) {
  const auto sound = sound_battery(ticket_json(graded('A', 121.0)));
  ASSERT_TRUE(sound);
  const auto draw = sound_discharge(*sound, trace_json(RunId{7}, {}, 1));
  ASSERT_FALSE(draw);
  EXPECT_EQ(draw.error().code, Errc::unsupported);
  EXPECT_EQ(sound_discharge(*sound, "no json").error().code, Errc::garbled);
}

}  // namespace
}  // namespace leadwright
