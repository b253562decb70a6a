// SPDX-License-Identifier: Apache-2.0
// Every shipped procedure that draws, on sound, worn, discharged, sulphated, shorted, open and hot batteries:
// how it ends, what it states, and that nothing is energised where it must not be. Then what the figures are
// worth.
#include "tests/world/procedure_matrix.h"

namespace leadwright {
namespace {

using enum Measurand;
constexpr RunOutcome draw_stops = RunOutcome::stopped;
constexpr RunOutcome tripped = RunOutcome::tripped;
constexpr const char* hot = "cell:sound,ambient_degc=55";
constexpr const char* too_hot = "degC is above the limit";
constexpr const char* charge_first = "charge it first";

/// A draw from it ends on the ramp or at the load's own cut-off; the clamps are blamed first.
MatrixRow open_joint() {
  return {.battery = "cell:open",
          .outcome = draw_stops,
          .reason = "check the clamps",
          .fault = FaultKind::open_circuit,
          .draws = true};
}
MatrixRow hot_case() {
  return {.battery = hot, .outcome = tripped, .reason = too_hot};
}

TEST_F(ProcedureMatrix, intake_check) {
  const std::vector<Measurand> both{ocv, temperature};
  check("intake check",
        {{.battery = "cell:sound", .found = both, .draws = true},
         {.battery = "cell:worn", .found = both, .draws = true},
         {.battery = "cell:discharged", .found = both, .draws = true},
         {.battery = "cell:sulphated", .found = both, .draws = true},
         {.battery = "cell:shorted_cell", .found = both, .fault = FaultKind::shorted_cell, .draws = true},
         open_joint(),
         hot_case()});
}

TEST_F(ProcedureMatrix, internal_resistance) {
  check("internal resistance", {{.battery = "cell:sound", .found = {resistance}, .draws = true},
                                {.battery = "cell:worn", .found = {resistance}, .draws = true},
                                {.battery = "cell:discharged", .found = {resistance}, .draws = true},
                                {.battery = "cell:sulphated", .found = {resistance}, .draws = true},
                                {.battery = "cell:shorted_cell", .found = {resistance}, .draws = true},
                                open_joint(),
                                hot_case()});
}

TEST_F(ProcedureMatrix, resistance_by_pulses) {
  const std::vector<Measurand> both{resistance, polarisation};
  check("resistance by pulses", {{.battery = "cell:sound", .found = both, .draws = true},
                                 {.battery = "cell:worn", .found = both, .draws = true},
                                 {.battery = "cell:discharged", .found = both, .draws = true},
                                 {.battery = "cell:sulphated", .found = both, .draws = true},
                                 {.battery = "cell:shorted_cell", .found = both, .draws = true},
                                 open_joint(),
                                 hot_case()});
}

TEST_F(ProcedureMatrix, cranking_estimate) {
  const std::vector<Measurand> all{resistance, polarisation, cranking_estimate};
  check("cranking estimate", {{.battery = "cell:sound", .found = all, .draws = true},
                              {.battery = "cell:worn", .found = all, .draws = true},
                              {.battery = "cell:discharged", .outcome = draw_stops, .reason = charge_first},
                              {.battery = "cell:sulphated", .outcome = draw_stops, .reason = charge_first},
                              {.battery = "cell:shorted_cell", .outcome = draw_stops, .reason = charge_first},
                              open_joint(),
                              hot_case()});
}

TEST_F(ProcedureMatrix, half_cca_load_test) {
  const std::vector<Measurand> both{load_volts, load_margin};
  check("half-CCA load test",
        {{.battery = "cell:sound", .found = both, .draws = true},
         {.battery = "cell:worn", .found = both, .draws = true},
         {.battery = "cell:discharged", .outcome = draw_stops, .reason = charge_first},
         {.battery = "cell:sulphated", .outcome = draw_stops, .reason = charge_first},
         {.battery = "cell:shorted_cell", .outcome = draw_stops, .reason = charge_first},
         open_joint(),
         hot_case()});
}

TEST_F(ProcedureMatrix, surface_charge_removal) {
  check("surface charge removal", {{.battery = "cell:sound", .found = {ocv}, .draws = true},
                                   {.battery = "cell:worn", .found = {ocv}, .draws = true},
                                   {.battery = "cell:discharged", .found = {ocv}, .draws = true},
                                   {.battery = "cell:sulphated", .found = {ocv}, .draws = true},
                                   {.battery = "cell:shorted_cell", .found = {ocv}, .draws = true},
                                   open_joint(),
                                   hot_case()});
}

TEST_F(ProcedureMatrix, reserve_capacity) {
  const std::vector<Measurand> all{Measurand::reserve_capacity, reserve_capacity_ref, delivered, temperature};
  check("reserve capacity",
        {{.battery = "cell:sound", .found = all, .draws = true},
         {.battery = "cell:worn", .found = all, .draws = true},
         {.battery = "cell:discharged", .found = all, .draws = true},
         {.battery = "cell:sulphated", .found = all, .draws = true},
         {.battery = "cell:shorted_cell", .outcome = draw_stops, .reason = "check the clamps", .draws = true},
         open_joint(),
         hot_case()});
}

TEST_F(ProcedureMatrix, capacity_of_20_hours) {
  const std::vector<Measurand> all{capacity_20h, capacity_20h_ref, temperature};
  check("20-hour capacity", {{.battery = "cell:sound", .found = all, .draws = true},
                             {.battery = "cell:worn", .found = all, .draws = true},
                             {.battery = "cell:weak_cell", .found = all, .draws = true},
                             {.battery = "cell:discharged", .outcome = draw_stops, .reason = charge_first},
                             {.battery = "cell:sulphated", .outcome = draw_stops, .reason = charge_first},
                             {.battery = "cell:shorted_cell", .outcome = draw_stops, .reason = charge_first},
                             open_joint(),
                             hot_case()});
}

TEST_F(ProcedureMatrix, lead_or_not) {
  check("lead or not", {{.battery = "cell:sound", .found = {ocv}, .draws = true},
                        {.battery = "cell:worn", .found = {ocv}, .draws = true},
                        {.battery = "cell:discharged", .found = {ocv}, .draws = true},
                        {.battery = "cell:sulphated", .found = {ocv}, .draws = true},
                        {.battery = "cell:sound,c20_ah=85", .found = {ocv}, .draws = true},
                        {.battery = "lithium", .fault = FaultKind::not_lead, .draws = true},
                        {.battery = "cell:shorted_cell", .outcome = draw_stops, .reason = "too low to tell"},
                        open_joint(),
                        hot_case()});
}

// The simulated load takes 100 A at most, so that half of 600 A is extrapolated, and half of 200 A is drawn.
TEST_F(ProcedureMatrix, a_load_test_beyond_the_load_is_an_estimate_and_one_within_it_is_none) {
  run("half-CCA load test", "cell:sound");
  const Finding* const estimate = found(load_margin);
  ASSERT_NE(estimate, nullptr);
  EXPECT_THAT(estimate->method, testing::HasSubstr("estimated"));
  EXPECT_GT(estimate->value, 2.0 * estimate->u) << "a sound battery passes even so";
  MatrixTicket small;
  small.label = R"("chemistry":"flooded","cells":6,"c20_ah":60,"cca_a":200,"cca_standard":"sae")";
  run("half-CCA load test", "cell:sound", small);
  const Finding* const measured = found(load_margin);
  ASSERT_NE(measured, nullptr);
  EXPECT_EQ(measured->method, "voltage at 15 s under half the CCA");
  EXPECT_LT(found(Measurand::load_volts)->u, 0.02);
  EXPECT_LT(measured->u, 0.1) << "the meters, the battery's repeatability and the table";
  EXPECT_EQ(end_of("load"), "15 s under load");
}

TEST_F(ProcedureMatrix, a_load_test_finds_the_corroded_joint_that_a_resting_voltage_hides) {
  run("half-CCA load test", "cell:high_resistance");
  EXPECT_LT(value(load_margin), -2.0 * found(load_margin)->u);
}

TEST_F(ProcedureMatrix, a_load_test_with_neither_cca_nor_ampere_hours_on_the_label_draws_nothing) {
  MatrixTicket bare;
  bare.label = R"("chemistry":"flooded","cells":6)";
  run("half-CCA load test", "cell:sound", bare);
  EXPECT_EQ(result().run.outcome, draw_stops);
  EXPECT_THAT(result().run.end_reason, testing::HasSubstr("complete the nameplate"));
  EXPECT_TRUE(result().findings.empty());
}

// The simulated battery has 6 x 0.62 mohm when full, and a sixth of 12 mohm more in a corroded cell.
TEST_F(ProcedureMatrix, pulses_give_the_resistance_that_the_battery_was_made_with) {
  run("resistance by pulses", "cell:sound,charged=1");
  EXPECT_NEAR(value(resistance), 6.0 * 0.00062, 0.00005);
  const double sound = value(resistance);
  run("resistance by pulses", "cell:high_resistance,charged=1");
  EXPECT_NEAR(value(resistance) - sound, 0.012, 0.0002);
}

TEST_F(ProcedureMatrix, a_capacity_is_that_of_the_battery_and_a_worn_one_has_a_third) {
  run("20-hour capacity", "cell:sound,charged=1");
  const double sound = value(capacity_20h_ref);
  EXPECT_NEAR(sound, 60.0, 2.0 * found(capacity_20h_ref)->u);
  run("20-hour capacity", "cell:worn,charged=1");
  EXPECT_LT(value(capacity_20h_ref), 0.4 * sound);
  EXPECT_GT(value(capacity_20h_ref), 0.3 * sound);
}

}  // namespace
}  // namespace leadwright
