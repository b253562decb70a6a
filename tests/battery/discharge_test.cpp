// SPDX-License-Identifier: Apache-2.0
// A synthetic draw whose crossing is known exactly: the voltage falls on a straight line from 12.5 V at the
// switch to full current, and passes 10.50 V after 100 min.
#include "daemon/battery/discharge.h"

#include <gtest/gtest.h>

#include "daemon/battery/findings.h"
#include "trace_maker.h"

namespace leadwright {
namespace {

constexpr DrawTarget target{Ampere(25.0), Volt(10.5)};
constexpr double truth_s = 6000.0;

struct Course {
  Second every{0.5};
  bool ramp = true;
  bool cut_by_load = false;
  Volt load_cutoff{10.32};
};

Volt line(double seconds) {
  return Volt(12.5 - 2.0 * seconds / truth_s);
}

/// Ramp of 2 s at 1 A and 2 s at 5 A, then full current until the voltage is at or below the cut-off.
TraceMaker drawn(const Course& course) {
  TraceMaker maker;
  maker.step("draw");
  if (course.ramp) {
    for (const double amps : {1.0, 5.0}) {
      for (double t = 0.0; t < 2.0; t += 0.5) maker.sample(Volt(12.6), Ampere(amps)).wait(Second(0.5));
    }
  }
  double t = 0.0;
  for (;; t += course.every.si()) {
    const Volt volts = line(t);
    if (course.cut_by_load && volts <= course.load_cutoff) {
      maker.sample(Volt(11.4), Ampere(0.0)).end("instrument cut-off");
      return maker;
    }
    maker.sample(volts, Ampere(25.0));
    if (!course.cut_by_load && volts <= target.cutoff) break;
    maker.wait(course.every);
  }
  maker.end("cut-off reached");
  return maker;
}

Result<Discharge> read(TraceMaker& maker) {
  return discharge_of(maker.trace(), maker.trace().steps[0], target);
}

TEST(Discharge, finds_the_crossing_between_two_samples) {
  for (const double every : {0.5, 7.0, 13.0}) {
    TraceMaker maker = drawn({Second(every), true, false, Volt()});
    const auto draw = read(maker);
    ASSERT_TRUE(draw);
    EXPECT_NEAR(draw->at_full.si(), truth_s, 1e-6) << every;
    EXPECT_FALSE(draw->by_instrument);
    EXPECT_NEAR(draw->slope.si(), -2.0 / truth_s, 1e-9);
  }
}

// 1 A and 5 A for 2 s each, and half a sampling period at the mean of each switch: 2 + 0 + 10 + ... by
// trapezoids, 0.5 x (1+1)/2 x 3 + 0.5 x (1+5)/2 + 0.5 x 5 x 3 + 0.5 x (5+25)/2 = 18 A s (by hand).
TEST(Discharge, counts_the_ramp_by_its_charge) {
  TraceMaker maker = drawn({});
  const auto draw = read(maker);
  ASSERT_TRUE(draw);
  EXPECT_NEAR(draw->ramp.si(), 18.0, 1e-9);
  EXPECT_NEAR(draw->as_if_at(Ampere(25.0)).si(), truth_s + 18.0 / 25.0, 1e-6);
  EXPECT_NEAR(draw->delivered().si(), 25.0 * truth_s + 18.0, 1e-3);
}

TEST(Discharge, is_less_certain_of_the_crossing_with_slower_samples) {
  TraceMaker fast = drawn({Second(0.5), true, false, Volt()});
  TraceMaker slow = drawn({Second(10.0), true, false, Volt()});
  EXPECT_LT(read(fast)->u_crossing, Second(0.1));
  EXPECT_NEAR(read(slow)->u_crossing.si(), 10.0 / 4.0 / 1.7320508, 1e-6);
}

TEST(Discharge, takes_the_middle_of_the_gap_when_the_load_cut_off_first) {
  TraceMaker maker;
  maker.step("draw");
  for (double t = 0.0; t <= 5900.0; t += 10.0) maker.sample(line(t), Ampere(25.0)).wait(Second(10.0));
  const Second last_above(5900.0);
  maker.wait(Second(10.0)).sample(Volt(11.2), Ampere(0.0)).end("instrument cut-off");
  const auto draw = read(maker);
  ASSERT_TRUE(draw);
  EXPECT_TRUE(draw->by_instrument);
  EXPECT_NEAR(draw->at_full.si(), last_above.si() + 10.0, 1e-6);
  EXPECT_NEAR(draw->u_crossing.si(), 20.0 / 3.4641016, 1e-6);
}

TEST(Discharge, needs_no_instrument_cut_off_where_a_sample_lies_below) {
  TraceMaker maker = drawn({Second(30.0), true, true, Volt(10.32)});
  const auto draw = read(maker);
  ASSERT_TRUE(draw);
  EXPECT_FALSE(draw->by_instrument);
  EXPECT_NEAR(draw->at_full.si(), truth_s, 1e-6);
}

TEST(Discharge, is_unsupported_when_the_voltage_is_missing_at_the_crossing) {
  TraceMaker maker = drawn({Second(10.0), true, false, Volt()});
  auto& samples = maker.trace().samples;
  samples[samples.size() - 2].volts.reset();
  const auto draw = read(maker);
  ASSERT_FALSE(draw);
  EXPECT_EQ(draw.error().code, Errc::unsupported);
}

TEST(Discharge, is_unsupported_when_the_reading_after_the_loads_cut_off_is_missing) {
  TraceMaker maker;
  maker.step("draw");
  for (double t = 0.0; t <= 5900.0; t += 10.0) maker.sample(line(t), Ampere(25.0)).wait(Second(10.0));
  maker.sample(std::nullopt, std::nullopt).end("instrument cut-off");
  EXPECT_EQ(read(maker).error().code, Errc::unsupported);
}

TEST(Discharge, does_without_single_readings_that_decide_nothing) {
  TraceMaker maker = drawn({Second(10.0), true, false, Volt()});
  auto& samples = maker.trace().samples;
  samples[100].volts.reset();
  samples[200].amps.reset();
  samples[300].volts.reset();
  samples[300].amps.reset();
  const auto draw = read(maker);
  ASSERT_TRUE(draw) << draw.error().line();
  EXPECT_NEAR(draw->at_full.si(), truth_s, 1e-6);
  EXPECT_NEAR(draw->mean_at_full.si(), 25.0, 1e-9);
}

TEST(Discharge, does_not_take_one_flipped_digit_for_the_crossing) {
  TraceMaker maker = drawn({Second(0.5), true, false, Volt()});
  maker.trace().samples[1000].volts = Volt(2.3);
  const auto draw = read(maker);
  ASSERT_TRUE(draw) << draw.error().line();
  EXPECT_NEAR(draw->at_full.si(), truth_s, 1.0);
}

TEST(Discharge, never_counts_a_long_hole_in_the_current_as_zero) {
  TraceMaker maker = drawn({Second(10.0), true, false, Volt()});
  for (std::size_t i = 100; i < 110; ++i) maker.trace().samples[i].amps.reset();
  EXPECT_EQ(read(maker).error().code, Errc::unsupported);
}

TEST(Discharge, is_unsupported_if_the_current_left_25_amperes) {
  TraceMaker maker = drawn({});
  maker.trace().samples[5000].amps = Ampere(20.0);
  const auto draw = read(maker);
  ASSERT_FALSE(draw);
  EXPECT_NE(draw.error().what.find("20.00 A"), std::string::npos) << draw.error().what;
}

TEST(Discharge, is_unsupported_if_the_cut_off_was_not_reached) {
  TraceMaker maker = drawn({});
  maker.trace().samples.resize(5000);
  maker.trace().steps[0].last = 5000;
  maker.trace().steps[0].end = "time";
  const auto draw = read(maker);
  ASSERT_FALSE(draw);
  EXPECT_NE(draw.error().what.find("not reached"), std::string::npos);
}

TEST(Discharge, does_not_take_a_lost_clamp_for_the_crossing) {
  TraceMaker maker = drawn({});
  maker.trace().samples.resize(5001);
  maker.trace().steps[0].last = 5001;
  maker.trace().samples[5000].volts = Volt(0.0);
  maker.trace().samples[5000].amps = Ampere(0.0);
  EXPECT_EQ(read(maker).error().code, Errc::unsupported);
}

TEST(Discharge, measures_a_battery_that_gives_up_while_the_current_rises) {
  TraceMaker maker;
  maker.step("draw").sample(Volt(12.0), Ampere(1.0)).wait(Second(2.0));
  maker.sample(Volt(11.5), Ampere(5.0))
      .wait(Second(2.0))
      .sample(Volt(9.5), Ampere(25.0))
      .end("cut-off reached");
  const auto draw = read(maker);
  ASSERT_TRUE(draw) << draw.error().line();
  EXPECT_EQ(draw->at_full, Second(0.0));
  // 6 A s by trapezoid, then 5 A for half of the last 2 s (by hand).
  EXPECT_NEAR(draw->ramp.si(), 11.0, 1e-9);
}

FindingRequest reserve_request(const Trace& trace) {
  FindingRequest request;
  request.calculation = "reserve_capacity";
  request.trace = &trace;
  request.of = {"draw"};
  request.nameplate.chemistry = Chemistry::flooded;
  request.nameplate.cells = 6;
  request.nameplate.reserve_capacity = Rating<Second>{minutes(110.0), RatingStandard::sae};
  return request;
}

TEST(StatedReserveCapacity, gives_minutes_as_measured_and_at_reference) {
  TraceMaker maker = drawn({});
  for (Sample& sample : maker.trace().samples) sample.temperature = Celsius(22.0);
  const auto stated = state(reserve_request(maker.trace()));
  ASSERT_TRUE(stated);
  ASSERT_EQ(stated->findings.size(), 4U);
  const double measured = (truth_s + 18.0 / 25.0) / 60.0;
  EXPECT_EQ(stated->findings[0].measurand, Measurand::reserve_capacity);
  EXPECT_NEAR(stated->findings[0].value, measured, 1e-6);
  EXPECT_EQ(stated->findings[1].measurand, Measurand::reserve_capacity_ref);
  EXPECT_NEAR(stated->findings[1].value, measured * (1.0 + 0.009 * 4.7), 1e-6);
  EXPECT_GT(stated->findings[1].u, stated->findings[0].u);
  EXPECT_EQ(stated->findings[2].measurand, Measurand::delivered);
  EXPECT_NEAR(stated->findings[2].value, measured * 25.0 / 60.0, 1e-6);
  EXPECT_EQ(stated->findings[3].measurand, Measurand::temperature);
}

TEST(StatedReserveCapacity, is_not_corrected_without_a_temperature) {
  TraceMaker maker = drawn({});
  for (Sample& sample : maker.trace().samples) sample.temperature.reset();
  const auto stated = state(reserve_request(maker.trace()));
  ASSERT_TRUE(stated);
  ASSERT_EQ(stated->findings.size(), 2U);
  EXPECT_EQ(stated->findings[0].measurand, Measurand::reserve_capacity);
  EXPECT_EQ(stated->findings[1].measurand, Measurand::delivered);
}

// Section 10: the gain error of a meter does not average out over the draw.
TEST(StatedReserveCapacity, keeps_the_ammeters_gain_error_however_many_samples_there_are) {
  TraceMaker few = drawn({Second(10.0), true, false, Volt()});
  TraceMaker many = drawn({});
  const auto gain = [](TraceMaker& maker) {
    return state(reserve_request(maker.trace()))->findings[2].budget[0].u;
  };
  EXPECT_NEAR(gain(few), gain(many), 1e-3 * gain(many));
  EXPECT_NEAR(gain(many), 41.67 * 0.001 / 1.7320508, 1e-4);
}

}  // namespace
}  // namespace leadwright
