// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/self_check.h"

#include <gtest/gtest.h>

#include "trace_maker.h"

namespace leadwright {
namespace {

TraceMaker checked(Ampere zero, Volt load, Volt charger) {
  TraceMaker maker;
  maker.step("rest");
  for (int i = 0; i < 30; ++i) maker.sample(load, zero).wait(Second(1.0));
  maker.end("time");
  maker.step("small charge");
  for (int i = 0; i < 30; ++i) maker.sample(charger, Ampere(-0.2)).wait(Second(1.0));
  maker.end("time");
  return maker;
}

FindingRequest check_request(const Trace& trace, std::vector<std::string> of) {
  FindingRequest request;
  request.calculation = "self_check";
  request.trace = &trace;
  request.of = std::move(of);
  request.nameplate.cells = 6;
  return request;
}

TEST(SelfCheck, reads_the_ammeter_with_nothing_on_and_one_voltmeter_against_the_other) {
  TraceMaker maker = checked(Ampere(0.012), Volt(12.60), Volt(12.68));
  const auto stated = state(check_request(maker.trace(), {"rest", "small charge"}));
  ASSERT_TRUE(stated) << stated.error().line();
  EXPECT_EQ(stated->findings[0].measurand, Measurand::amps_zero);
  EXPECT_NEAR(stated->findings[0].value, 0.012, 1e-9);
  EXPECT_EQ(stated->findings[1].measurand, Measurand::meters_apart);
  EXPECT_NEAR(stated->findings[1].value, 0.08, 1e-9);
  EXPECT_GT(stated->findings[1].u, 0.05) << "the current lifts the voltage by an unknown part of it";
}

TEST(SelfCheck, of_a_place_without_a_charger_is_the_zero_alone) {
  TraceMaker maker = checked(Ampere(0.0), Volt(12.60), Volt(12.60));
  EXPECT_EQ(state(check_request(maker.trace(), {"rest"}))->findings.size(), 1U);
}

TEST(SelfCheck, never_takes_a_missing_reading_for_zero) {
  TraceMaker maker = checked(Ampere(0.0), Volt(12.60), Volt(12.60));
  maker.trace().samples[29].amps.reset();
  EXPECT_EQ(state(check_request(maker.trace(), {"rest"})).error().code, Errc::unsupported);
}

}  // namespace
}  // namespace leadwright
