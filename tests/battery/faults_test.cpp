// SPDX-License-Identifier: Apache-2.0
// Levels: shared domain notes, section 12 (F for the shorted cell, P and M for the rest).
#include "daemon/battery/faults.h"

#include <gtest/gtest.h>

#include "trace_maker.h"

namespace leadwright {
namespace {

Nameplate label(int cells) {
  Nameplate nameplate;
  nameplate.chemistry = Chemistry::flooded;
  nameplate.cells = cells;
  return nameplate;
}

struct Case {
  double ocv;
  double drawn;  ///< volts at the end of 5 A; also the lowest
};

std::vector<FaultKind> kinds(const Case& readings, int cells = 6, bool rested = false) {
  const LightDraw draw{{Volt(readings.drawn), Ampere(5.0)}, Volt(readings.drawn)};
  std::vector<FaultKind> result;
  for (const Fault& fault : faults_of({Volt(readings.ocv), rested, draw}, label(cells))) {
    EXPECT_FALSE(fault.evidence.empty());
    result.push_back(fault.kind);
  }
  return result;
}

using Kinds = std::vector<FaultKind>;

TEST(Faults, are_none_for_a_sound_or_only_discharged_battery) {
  EXPECT_EQ(kinds({12.65, 12.45}), Kinds{});
  EXPECT_EQ(kinds({11.70, 11.30}), Kinds{});
  EXPECT_EQ(kinds({6.35, 6.20}, 3), Kinds{});
}

TEST(Faults, show_a_battery_charged_backwards) {
  EXPECT_EQ(kinds({-11.9, -12.0}), Kinds{FaultKind::reversed});
}

TEST(Faults, show_that_there_is_no_voltage) {
  EXPECT_EQ(kinds({0.02, 0.0}), Kinds{FaultKind::open_circuit});
}

TEST(Faults, show_a_6_volt_block_with_a_12_volt_label_and_the_reverse) {
  EXPECT_EQ(kinds({6.35, 6.20}), Kinds{FaultKind::wrong_cell_count});
  EXPECT_EQ(kinds({5.2, 5.0}), Kinds{}) << "a flat battery of six";
  EXPECT_EQ(kinds({7.4, 7.2}), Kinds{}) << "a flat battery of six";
  EXPECT_EQ(kinds({12.65, 12.45}, 3), Kinds{FaultKind::wrong_cell_count});
}

TEST(Faults, show_a_shorted_cell_that_holds_under_a_light_draw) {
  EXPECT_EQ(kinds({10.55, 10.30}), Kinds{FaultKind::shorted_cell});
  EXPECT_EQ(kinds({4.20, 4.10}, 3), Kinds{FaultKind::shorted_cell});
}

TEST(Faults, do_not_call_a_flat_battery_shorted_when_it_sags) {
  EXPECT_EQ(kinds({10.55, 9.70}), Kinds{});
}

TEST(Faults, do_not_prove_a_shorted_cell_without_a_draw) {
  EXPECT_TRUE(faults_of({Volt(10.55), true, std::nullopt}, label(6)).empty());
}

TEST(Faults, show_a_broken_connection_that_collapses) {
  EXPECT_EQ(kinds({12.60, 0.3}), Kinds{FaultKind::open_circuit});
  EXPECT_EQ(kinds({12.64, 7.6}), Kinds{FaultKind::open_circuit});
  EXPECT_EQ(kinds({12.20, 11.1}), Kinds{}) << "sulphated";
}

TEST(Faults, show_a_pack_that_holds_what_no_lead_battery_holds) {
  EXPECT_EQ(kinds({13.25, 13.15}), Kinds{FaultKind::not_lead});
  EXPECT_EQ(kinds({13.50, 12.95}, 6, true), Kinds{FaultKind::not_lead});
}

TEST(Faults, show_a_pack_that_rests_too_high) {
  ASSERT_TRUE(fault_at_rest(Volt(13.95), 6));
  EXPECT_EQ(fault_at_rest(Volt(13.95), 6)->kind, FaultKind::not_lead);
  EXPECT_FALSE(fault_at_rest(Volt(13.0), 6));
  EXPECT_TRUE(fault_at_rest(Volt(6.9), 3));
}

TEST(Faults, forgive_surface_charge) {
  EXPECT_EQ(kinds({13.50, 12.95}), Kinds{});
}

TraceMaker intake(std::optional<Volt> drawn) {
  TraceMaker maker;
  maker.step("measure");
  for (int i = 0; i < 5; ++i) maker.sample(Volt(10.55), Ampere(0.0), Celsius(19.0)).wait(Second(6.0));
  maker.end("time").step("light draw");
  for (int i = 0; i < 10; ++i) maker.sample(Volt(10.30), Ampere(5.0)).wait(Second(6.0));
  maker.sample(drawn, Ampere(5.0)).end("time");
  return maker;
}

FindingRequest request(const Trace& trace) {
  FindingRequest request;
  request.calculation = "intake";
  request.trace = &trace;
  request.of = {"measure", "light draw"};
  request.nameplate = label(6);
  return request;
}

TEST(StatedIntake, gives_voltage_temperature_and_faults) {
  TraceMaker maker = intake(Volt(10.30));
  const auto stated = state(request(maker.trace()));
  ASSERT_TRUE(stated);
  ASSERT_EQ(stated->findings.size(), 2U);
  EXPECT_EQ(stated->findings[0].measurand, Measurand::ocv);
  EXPECT_NEAR(stated->findings[0].value, 10.55, 1e-9);
  EXPECT_NE(stated->findings[0].conditions.find("not rested"), std::string::npos);
  EXPECT_NEAR(stated->findings[1].value, 19.0, 1e-9);
  ASSERT_EQ(stated->faults.size(), 1U);
  EXPECT_EQ(stated->faults[0].kind, FaultKind::shorted_cell);
}

TEST(StatedIntake, is_unsupported_when_the_voltage_is_missing_at_the_end_of_the_draw) {
  TraceMaker maker = intake(std::nullopt);
  EXPECT_EQ(state(request(maker.trace())).error().code, Errc::unsupported);
}

}  // namespace
}  // namespace leadwright
