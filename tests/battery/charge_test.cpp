// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/charge.h"

#include <gtest/gtest.h>

#include "trace_maker.h"

namespace leadwright {
namespace {

TraceMaker charged(Ampere amps, const std::string& end) {
  TraceMaker maker;
  maker.step("charge");
  for (int minute = 0; minute < 120; ++minute) maker.sample(Volt(14.0), -amps).wait(minutes(1.0));
  maker.sample(Volt(14.4), -amps).end(end);
  return maker;
}

FindingRequest charge_request(const Trace& trace) {
  FindingRequest request;
  request.calculation = "returned_charge";
  request.trace = &trace;
  request.of = {"charge"};
  return request;
}

TEST(ReturnedCharge, is_positive_for_current_into_the_battery) {
  TraceMaker maker = charged(Ampere(10.0), "charge current is stable");
  const auto stated = state(charge_request(maker.trace()));
  ASSERT_TRUE(stated);
  EXPECT_EQ(stated->findings[0].measurand, Measurand::returned);
  EXPECT_NEAR(stated->findings[0].value, 20.0, 1e-9);
  EXPECT_TRUE(stated->faults.empty());
}

// Half-widths 0.1 % and 20 mA (the defaults), rectangular: 0.01155 and 0.02309 Ah (by hand).
TEST(ReturnedCharge, carries_gain_and_offset_over_the_whole_time) {
  TraceMaker maker = charged(Ampere(10.0), "time");
  EXPECT_NEAR(state(charge_request(maker.trace()))->findings[0].u, 0.02582, 1e-5);
}

TEST(ReturnedCharge, comes_with_a_fault_when_the_battery_took_none) {
  TraceMaker maker = charged(Ampere(0.01), takes_no_charge_end);
  const auto stated = state(charge_request(maker.trace()));
  ASSERT_TRUE(stated);
  ASSERT_EQ(stated->faults.size(), 1U);
  EXPECT_EQ(stated->faults[0].kind, FaultKind::takes_no_charge);
  EXPECT_NE(stated->faults[0].evidence.find("0.02 Ah"), std::string::npos) << stated->faults[0].evidence;
}

TEST(ReturnedCharge, comes_with_a_fault_when_the_voltage_stays_a_cell_too_low) {
  TraceMaker maker = charged(Ampere(10.0), stays_low_end);
  maker.trace().samples.back().volts = Volt(11.8);
  const auto stated = state(charge_request(maker.trace()));
  ASSERT_TRUE(stated);
  ASSERT_EQ(stated->faults.size(), 1U);
  EXPECT_EQ(stated->faults[0].kind, FaultKind::shorted_cell);
  EXPECT_NE(stated->faults[0].evidence.find("11.80 V"), std::string::npos) << stated->faults[0].evidence;
}

TEST(ReturnedCharge, is_unsupported_after_a_hole_in_the_current) {
  TraceMaker maker = charged(Ampere(10.0), "time");
  for (std::size_t i = 50; i < 60; ++i) maker.trace().samples[i].amps.reset();
  EXPECT_EQ(state(charge_request(maker.trace())).error().code, Errc::unsupported);
}

TEST(ChargeAcceptance, is_what_the_first_stage_put_in_and_says_what_ended_it) {
  TraceMaker maker = charged(Ampere(1.0), "time");
  FindingRequest request = charge_request(maker.trace());
  request.calculation = "charge_acceptance";
  const auto stated = state(request);
  ASSERT_TRUE(stated);
  EXPECT_EQ(stated->findings[0].measurand, Measurand::accepted);
  EXPECT_NEAR(stated->findings[0].value, 2.0, 1e-9);
  EXPECT_NE(stated->findings[0].conditions.find("ended by: time"), std::string::npos);
}

TEST(DeliveredCharge, is_positive_for_current_out_of_the_battery) {
  TraceMaker maker = charged(Ampere(-3.0), "cut-off reached");
  FindingRequest request = charge_request(maker.trace());
  request.calculation = "delivered_charge";
  const auto stated = state(request);
  ASSERT_TRUE(stated);
  EXPECT_EQ(stated->findings[0].measurand, Measurand::delivered);
  EXPECT_NEAR(stated->findings[0].value, 6.0, 1e-9);
  EXPECT_GT(stated->findings[0].u, 0.0);
}

}  // namespace
}  // namespace leadwright
