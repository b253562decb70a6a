// SPDX-License-Identifier: Apache-2.0
// Every shipped procedure that only rests, and the bench's check of itself, on sound, worn, discharged,
// sulphated, shorted, open and hot batteries.
#include <algorithm>
#include <array>

#include "tests/world/procedure_matrix.h"

namespace leadwright {
namespace {

using enum Measurand;
constexpr RunOutcome stops = RunOutcome::stopped;

/// What looks and moves nothing finds the same on whatever stands there.
std::vector<MatrixRow> on_each_battery(const std::vector<Measurand>& found) {
  constexpr std::array batteries{
      "cell:sound",        "cell:worn", "cell:discharged",           "cell:sulphated",
      "cell:shorted_cell", "cell:open", "cell:sound,ambient_degc=55"};
  std::vector<MatrixRow> rows(batteries.size());
  std::ranges::transform(batteries, rows.begin(), [&found](const char* battery) {
    return MatrixRow{.battery = battery, .found = found};
  });
  return rows;
}

TEST_F(ProcedureMatrix, stability_rest) {
  check("stability rest", on_each_battery({ocv, soc}));
}

TEST_F(ProcedureMatrix, new_battery_confirmation) {
  const std::vector<Measurand> all{ocv, soc, charge_needed};
  check("new-battery confirmation", {{.battery = "cell:sound", .found = all},
                                     {.battery = "cell:worn", .found = all},
                                     {.battery = "cell:discharged", .found = all},
                                     {.battery = "cell:sulphated", .found = all},
                                     {.battery = "cell:shorted_cell", .found = {ocv, soc}},
                                     {.battery = "cell:open", .found = all},
                                     {.battery = "cell:sound,ambient_degc=55", .found = all}});
}

TEST_F(ProcedureMatrix, a_new_battery_is_told_what_the_shelf_has_taken) {
  run("new-battery confirmation", "cell:sound,charged=0.8");
  EXPECT_NEAR(value(charge_needed), 0.2 * 60.0 * 1.10, 2.0 * found(charge_needed)->u);
  EXPECT_NEAR(value(soc), 0.8, 2.0 * found(soc)->u);
}

TEST_F(ProcedureMatrix, voltage_after_standing) {
  check("voltage after standing", on_each_battery({ocv, temperature}));
}

TEST_F(ProcedureMatrix, charge_retention) {
  const std::vector<Measurand> all{rest_slope, self_discharge, ocv, soc};
  const char* const low = "charge it first";
  check("charge retention", {{.battery = "cell:sound", .found = all},
                             {.battery = "cell:worn", .found = all},
                             {.battery = "cell:discharged", .outcome = stops, .reason = low},
                             {.battery = "cell:sulphated", .outcome = stops, .reason = low},
                             {.battery = "cell:shorted_cell", .outcome = stops, .reason = low},
                             {.battery = "cell:open", .found = all},
                             {.battery = "cell:sound,ambient_degc=45", .found = all}});
}

// F: 2.5 % a month at 20 degC doubles every 10 K; the simulated battery follows that.
TEST_F(ProcedureMatrix, retention_gives_the_self_discharge_that_the_battery_was_made_with) {
  run("charge retention", "cell:sound");
  EXPECT_NEAR(value(self_discharge), 0.025 / 30.0 * std::exp2(0.5), 2.0 * found(self_discharge)->u);
  const double cool = value(self_discharge);
  run("charge retention", "cell:sound,ambient_degc=45");
  EXPECT_NEAR(value(self_discharge) / cool, 4.0, 0.8);
}

TEST_F(ProcedureMatrix, the_time_of_standing_can_be_chosen) {
  MatrixTicket shorter;
  shorter.parameters = R"(,"parameters":{"standing_time":"40 h"})";
  run("charge retention", "cell:sound", shorter);
  ASSERT_EQ(result().run.outcome, RunOutcome::complete) << result().run.end_reason;
  EXPECT_NEAR((*result().run.ended_at - result().run.started_at).si(), hours(40.0).si(), 600.0);
}

TEST_F(ProcedureMatrix, bench_self_check) {
  const std::vector<Measurand> both{amps_zero, meters_apart};
  const char* const no_reference = "not a reference";
  check("bench self-check",
        {{.battery = "cell:sound,charged=0.8", .found = both, .draws = true, .charges = true},
         {.battery = "cell:worn,charged=0.8", .found = both, .draws = true, .charges = true},
         {.battery = "cell:sound", .outcome = stops, .reason = no_reference},
         {.battery = "cell:discharged", .outcome = stops, .reason = no_reference},
         {.battery = "cell:sulphated", .outcome = stops, .reason = no_reference},
         {.battery = "cell:shorted_cell", .outcome = stops, .reason = no_reference},
         {.battery = "cell:open,charged=0.8",
          .outcome = stops,
          .fault = FaultKind::open_circuit,
          .draws = true,
          .charges = true},
         {.battery = "cell:sound,charged=0.8,ambient_degc=55",
          .outcome = RunOutcome::tripped,
          .reason = "degC is above the limit"}});
}

TEST_F(ProcedureMatrix, a_self_check_switches_nothing_on_before_a_person_is_ready) {
  MatrixTicket not_yet;
  not_yet.is_ready = "no";
  check("bench self-check",
        {{.battery = "cell:sound,charged=0.8", .outcome = stops, .reason = "waits for a reference battery"}},
        not_yet);
}

TEST_F(ProcedureMatrix, a_self_check_finds_a_place_that_reads_too_little) {
  MatrixTicket bad_lead;
  bad_lead.meter_reads_more = Volt(0.08);
  check(
      "bench self-check",
      {{.battery = "cell:sound,charged=0.8", .outcome = stops, .reason = "more than 50 mV below the posts"}},
      bad_lead);
}

}  // namespace
}  // namespace leadwright
