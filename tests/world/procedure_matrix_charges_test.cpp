// SPDX-License-Identifier: Apache-2.0
// Every shipped procedure that charges, on sound, worn, discharged, sulphated, shorted, open and hot
// batteries: how it ends, what it states, and that nothing is energised where it must not be.
#include "tests/world/procedure_matrix.h"

namespace leadwright {
namespace {

using enum Measurand;
constexpr RunOutcome no_end = RunOutcome::stopped;
constexpr const char* hot_battery = "cell:sound,ambient_degc=55";
constexpr const char* recovery = "recovery of a deep-discharged battery";

MatrixRow too_hot_to_charge(const char* battery = hot_battery) {
  return {.battery = battery, .outcome = RunOutcome::tripped, .reason = "degC is above the limit"};
}

class ChargeMatrix : public ProcedureMatrix, public testing::WithParamInterface<const char*> {};

// An open joint of the simulator is open for a draw only, so that it can't show here.
TEST_P(ChargeMatrix, fills_what_can_be_filled_and_finds_a_missing_cell) {
  check(GetParam(), {{.battery = "cell:sound", .found = {returned, time_to_full}, .charges = true},
                     {.battery = "cell:worn", .found = {returned, time_to_full}, .charges = true},
                     {.battery = "cell:discharged", .found = {returned, time_to_full}, .charges = true},
                     {.battery = "cell:sulphated", .found = {returned, time_to_full}, .charges = true},
                     {.battery = "cell:shorted_cell,charged=0.2",
                      .found = {returned},
                      .fault = FaultKind::shorted_cell,
                      .charges = true},
                     // Its other cells are full, so that all becomes gas and heat.
                     {.battery = "cell:shorted_cell",
                      .outcome = RunOutcome::tripped,
                      .reason = "the case",
                      .charges = true},
                     too_hot_to_charge()});
}

INSTANTIATE_TEST_SUITE_P(Both, ChargeMatrix, testing::Values("standard charge", "recharge before leaving"),
                         [](const auto& one) { return one.index == 0 ? "standard" : "before_leaving"; });

TEST_F(ProcedureMatrix, three_minute_charge) {
  const std::vector<Measurand> both{charge_peak, charge_margin};
  const char* const charged = "it is charged";
  check("three-minute charge",
        {{.battery = "cell:sound", .outcome = no_end, .reason = charged},
         {.battery = "cell:worn", .outcome = no_end, .reason = charged},
         {.battery = "cell:discharged", .found = both, .charges = true},
         {.battery = "cell:sulphated", .found = both, .charges = true},
         {.battery = "cell:shorted_cell", .outcome = no_end, .reason = "recovered, not tested"},
         {.battery = "cell:open", .outcome = no_end, .reason = charged},
         too_hot_to_charge("cell:discharged,ambient_degc=55")});
}

TEST_F(ProcedureMatrix, a_three_minute_charge_tells_a_sulphated_battery_from_a_discharged_one) {
  run("three-minute charge", "cell:discharged");
  EXPECT_GT(value(charge_margin), 0.5);
  run("three-minute charge", "cell:sulphated");
  EXPECT_LT(value(charge_margin), 0.0);
  EXPECT_EQ(end_of("charge"), "voltage is high");
}

TEST_F(ProcedureMatrix, a_three_minute_charge_is_given_to_no_other_chemistry) {
  for (const char* chemistry : {"agm", "gel"}) {
    MatrixTicket ticket;
    ticket.label = std::string(R"("chemistry":")") + chemistry + R"(","cells":6,"c20_ah":60)";
    check("three-minute charge",
          {{.battery = "cell:discharged", .outcome = no_end, .reason = "for flooded batteries only"}},
          ticket);
  }
}

TEST_F(ProcedureMatrix, recovery_of_a_deep_discharged_battery) {
  const std::vector<Measurand> all{accepted, returned, ocv};
  const char* const not_deep = "use the standard charge";
  check(recovery, {{.battery = "cell:sound", .outcome = no_end, .reason = not_deep},
                   {.battery = "cell:worn", .outcome = no_end, .reason = not_deep},
                   {.battery = "cell:discharged", .found = all, .charges = true},
                   {.battery = "cell:discharged,charged=0", .found = all, .charges = true},
                   {.battery = "cell:sulphated,charged=0.1", .found = all, .charges = true},
                   {.battery = "cell:shorted_cell",
                    .found = {accepted, returned},
                    .fault = FaultKind::shorted_cell,
                    .charges = true},
                   {.battery = "cell:shorted_cell,charged=0.05",
                    .found = {accepted, returned},
                    .fault = FaultKind::shorted_cell,
                    .charges = true},
                   {.battery = "cell:reversed_cell,charged=0.3",
                    .found = {accepted, returned},
                    .fault = FaultKind::shorted_cell,
                    .charges = true},
                   {.battery = "cell:open", .outcome = no_end, .reason = not_deep},
                   {.battery = "cell:discharged,ambient_degc=47",
                    .outcome = RunOutcome::tripped,
                    .reason = "15 K above",
                    .charges = true},
                   too_hot_to_charge("cell:discharged,ambient_degc=55")});
}

TEST_F(ProcedureMatrix, a_recovery_begins_with_one_ampere_and_never_gives_more_than_a_tenth) {
  run(recovery, "cell:discharged,charged=0");
  for (const Trace::StepSpan& span : result().trace.steps) {
    for (std::size_t i = span.first; i < span.last; ++i) {
      const double amps = std::abs(result().trace.samples[i].amps->si());
      EXPECT_LT(amps, span.name == "soft start" ? 1.02 : span.name == "gentle stage" ? 3.05 : 6.05);
      if (HasFailure()) return;
    }
  }
  EXPECT_GT(value(returned), 55.0) << "from empty to full";
}

TEST_F(ProcedureMatrix, a_recovery_ends_when_the_person_who_looks_finds_the_battery_bad) {
  MatrixTicket swollen;
  swollen.looks_bad = "yes";
  check(recovery,
        {{.battery = "cell:discharged", .found = {accepted}, .fault = FaultKind::unsafe, .charges = true}},
        swollen);
}

TEST_F(ProcedureMatrix, conditioning_cycle) {
  const std::vector<Measurand> all{returned, time_to_full, delivered, returned, time_to_full};
  const char* const recover_first = "recover it first";
  check("conditioning cycle", {{.battery = "cell:sound", .found = all, .draws = true, .charges = true},
                               {.battery = "cell:worn", .found = all, .draws = true, .charges = true},
                               {.battery = "cell:discharged", .found = all, .draws = true, .charges = true},
                               {.battery = "cell:sulphated", .found = all, .draws = true, .charges = true},
                               {.battery = "cell:shorted_cell", .outcome = no_end, .reason = recover_first},
                               {.battery = "cell:open",
                                .outcome = no_end,
                                .fault = FaultKind::open_circuit,
                                .draws = true,
                                .charges = true},
                               too_hot_to_charge()});
}

TEST_F(ProcedureMatrix, a_conditioning_cycle_takes_out_and_puts_back_what_the_battery_holds) {
  run("conditioning cycle", "cell:sound");
  ASSERT_EQ(result().findings.size(), 5U);
  EXPECT_NEAR(value(delivered), 60.0, 2.0);
  EXPECT_GT(result().findings[3].value, value(delivered)) << "charging is never without loss";
  EXPECT_EQ(end_of("discharge"), "empty");
}

}  // namespace
}  // namespace leadwright
