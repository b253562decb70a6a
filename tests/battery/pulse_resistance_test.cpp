// SPDX-License-Identifier: Apache-2.0
// A battery by hand: 12.6 V, 5 mohm at once, 2 mohm more in proportion to the time within a 2 s pulse.
#include "daemon/battery/pulse_resistance.h"

#include <gtest/gtest.h>

#include <cmath>

#include "daemon/battery/cranking_estimate.h"
#include "trace_maker.h"

namespace leadwright {
namespace {

constexpr double instant_ohm = 0.005;
constexpr double added_ohm = 0.002;

TraceMaker pulses(int count, Ampere high = Ampere(21.0), Second every = Second(0.1)) {
  TraceMaker maker;
  maker.step("pulses");
  const auto at = [&maker](double amps, double added) {
    maker.sample(Volt(12.6 - instant_ohm * amps - added), Ampere(amps));
  };
  for (const double ramp : {1.0, 5.0}) {
    at(ramp, 0.0);
    maker.wait(Second(2.0));
  }
  const auto samples_in = [every](double seconds) { return static_cast<int>(seconds / every.si() + 0.5); };
  for (int pulse = 0; pulse < count; ++pulse) {
    for (int i = 0; i < samples_in(10.0); ++i) {
      at(1.0, 0.0);
      maker.wait(every);
    }
    const int last = samples_in(2.0) - 1;
    for (int i = 0; i <= last; ++i) {
      at(high.si(), added_ohm * (high.si() - 1.0) * i / last);
      maker.wait(every);
    }
  }
  maker.end("every pulse was given");
  return maker;
}

FindingRequest pulse_request(const Trace& trace, std::string_view calculation = "pulse_resistance") {
  FindingRequest request;
  request.calculation = calculation;
  request.trace = &trace;
  request.of = {"pulses"};
  request.nameplate.cells = 6;
  return request;
}

TEST(PulseResistance, tells_what_comes_at_once_from_what_a_pulse_adds) {
  TraceMaker maker = pulses(5);
  const auto stated = state(pulse_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  ASSERT_EQ(stated->findings.size(), 2U);
  EXPECT_EQ(stated->findings[0].measurand, Measurand::resistance);
  EXPECT_EQ(stated->findings[1].measurand, Measurand::polarisation);
  EXPECT_NEAR(stated->findings[1].value, added_ohm, 1e-5);
  // The falling edges jump by instant and added part together here, since the added part goes at once: five
  // rising edges at 5 mohm, four falling at 7.
  EXPECT_NEAR(stated->findings[0].value, (5 * instant_ohm + 4 * (instant_ohm + added_ohm)) / 9, 2e-5);
  EXPECT_GT(stated->findings[0].u, 0.0002);
}

TEST(PulseResistance, does_not_depend_on_the_meters_offset) {
  TraceMaker maker = pulses(5);
  FindingRequest offset = pulse_request(maker.trace());
  offset.accuracy.volts_absolute = Volt(1.0);
  EXPECT_EQ(state(pulse_request(maker.trace()))->findings[0].u, state(offset)->findings[0].u);
}

TEST(PulseResistance, leaves_out_an_edge_whose_readings_are_missing) {
  TraceMaker maker = pulses(5);
  int missed = 0;
  for (Sample& sample : maker.trace().samples) {
    if (sample.amps && sample.amps->si() > 20.0 && missed < 20) {
      sample.volts.reset();
      ++missed;
    }
  }
  const auto reading = pulse_reading(maker.trace().samples);
  ASSERT_TRUE(reading) << reading.error().line();
  EXPECT_EQ(reading->pulses, 4U);
  EXPECT_NEAR(reading->polarisation.si(), added_ohm, 1e-5);
}

TEST(PulseResistance, is_unsupported_where_the_line_is_too_slow_to_see_the_edges) {
  TraceMaker maker = pulses(5, Ampere(21.0), Second(2.0));
  EXPECT_EQ(pulse_reading(maker.trace().samples).error().code, Errc::unsupported);
}

TEST(PulseResistance, is_unsupported_with_a_single_pulse_or_levels_that_are_alike) {
  TraceMaker one = pulses(1);
  EXPECT_EQ(pulse_reading(one.trace().samples).error().code, Errc::unsupported);
  TraceMaker flat = pulses(5, Ampere(1.5));
  flat.trace().samples.erase(flat.trace().samples.begin(), flat.trace().samples.begin() + 2);
  EXPECT_EQ(pulse_reading(flat.trace().samples).error().code, Errc::unsupported);
  EXPECT_EQ(pulse_reading({}).error().code, Errc::unsupported);
}

// F: one published data sheet, 12 V AGM, R 2.5 mohm and CCA 975 A; C: 2.8 V / 2.5 mohm = 1120 A.
TEST(CrankingEstimate, holds_a_published_battery_within_its_interval) {
  const CrankingEstimate estimate = cranking_estimate(Ohm(0.0025), Ohm(0.0001), Celsius(25.0), 6);
  EXPECT_NEAR(estimate.amps.si(), 1120.0, 0.5);
  double squares = 0.0;
  for (const BudgetLine& line : estimate.budget) squares += line.u * line.u;
  EXPECT_LT(std::abs(estimate.amps.si() - 975.0), 2.0 * std::sqrt(squares));
  EXPECT_GT(std::sqrt(squares), 0.14 * estimate.amps.si()) << "wide: it is no measurement";
}

// M: -0.75 %/K. 5 mohm at 5 degC is 4.348 mohm at 25 degC (by hand).
TEST(CrankingEstimate, refers_the_resistance_to_25_degrees) {
  EXPECT_NEAR(cranking_estimate(Ohm(0.005), Ohm(0.0), Celsius(5.0), 6).amps.si(), 2.8 / (0.005 / 1.15), 0.1);
  EXPECT_NEAR(cranking_estimate(Ohm(0.0025), Ohm(0.0), Celsius(25.0), 3).amps.si(), 1.4 / 0.0025, 0.1);
}

TEST(CrankingEstimate, says_that_it_is_one_and_needs_a_temperature) {
  TraceMaker maker = pulses(5);
  const auto stated = state(pulse_request(maker.trace(), "cranking_estimate"));
  ASSERT_TRUE(stated) << stated.error().line();
  EXPECT_EQ(stated->findings[0].measurand, Measurand::cranking_estimate);
  EXPECT_EQ(stated->findings[0].method.rfind("estimated", 0), 0U);
  for (Sample& sample : maker.trace().samples) sample.temperature.reset();
  EXPECT_EQ(state(pulse_request(maker.trace(), "cranking_estimate")).error().code, Errc::unsupported);
}

}  // namespace
}  // namespace leadwright
