// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/design_curve.h"

#include <gtest/gtest.h>

#include "daemon/battery/design_curve_text.h"
#include "tests/battery/design_maker.h"

namespace leadwright {
namespace {

const DesignKey t6{"T6", Chemistry::flooded, minutes(120.0)};

TEST(DesignCurve, is_never_learnt_from_fewer_than_five_batteries) {
  const std::vector<Sample> samples = made_samples({});
  const std::vector<DesignTrace> four(4, {samples, Second(0.0), end_of_made({}), 6});
  const auto curve = learn_design(t6, 1, four);
  ASSERT_FALSE(curve);
  EXPECT_EQ(curve.error().code, Errc::unsupported);
  EXPECT_NE(curve.error().what.find("4 sound batteries"), std::string::npos) << curve.error().what;
}

TEST(DesignCurve, follows_the_design_after_the_first_minute) {
  const DesignCurve curve = made_curve();
  EXPECT_NEAR(as_minutes(curve.time), 120.0, 0.05);
  for (double share = 0.05; share <= 1.0; share += 0.05)
    EXPECT_NEAR(curve.at(share).volts.si(), made_cell_v(share), 2e-4) << share;
}

TEST(DesignCurve, goes_on_straight_beyond_its_ends) {
  const DesignCurve curve = made_curve();
  const auto last = curve.at(1.0);
  EXPECT_NEAR(curve.at(1.1).volts.si(), last.volts.si() + 0.1 * last.per_share.si(), 1e-9);
  EXPECT_GT(curve.at(-0.1).volts, curve.at(0.0).volts);
}

TEST(DesignCurve, is_the_mean_of_batteries_that_differ_and_keeps_their_spread) {
  const MadeDischarge fast{1.05};
  const MadeDischarge slow{0.95};
  const std::vector<Sample> fast_samples = made_samples(fast);
  const std::vector<Sample> slow_samples = made_samples(slow);
  std::vector<DesignTrace> traces;
  for (int i = 0; i < 3; ++i) {
    traces.push_back({fast_samples, Second(0.0), end_of_made(fast), 6});
    traces.push_back({slow_samples, Second(0.0), end_of_made(slow), 6});
  }
  const auto curve = learn_design(t6, 3, traces);
  ASSERT_TRUE(curve) << curve.error().what;
  EXPECT_NEAR(as_minutes(curve->time), 60.0 * (1.0 / 1.05 + 1.0 / 0.95), 0.1);
  EXPECT_NEAR(curve->time_spread, 0.0548, 0.001);  // C: +-5 % of six, divided by five
  EXPECT_EQ(curve->batteries, 6);
  EXPECT_EQ(curve->version, 3);
}

TEST(DesignCurve, counts_time_from_full_current_not_from_the_start_of_the_run) {
  std::vector<Sample> samples = made_samples({});
  for (Sample& sample : samples) sample.at += Second(600.0);
  const auto curve = shape_of({samples, Second(600.0), end_of_made({}), 6});
  ASSERT_TRUE(curve) << curve.error().what;
  EXPECT_NEAR(curve->at(0.5).volts.si(), made_cell_v(0.5), 2e-4);
}

TEST(DesignCurve, is_not_taken_from_a_trace_with_a_long_hole) {
  std::vector<Sample> samples = made_samples({});
  for (Sample& sample : samples)
    if (sample.at > minutes(50.0) && sample.at < minutes(56.0)) sample.volts.reset();
  const auto curve = shape_of({samples, Second(0.0), end_of_made({}), 6});
  ASSERT_FALSE(curve);
  EXPECT_EQ(curve.error().code, Errc::unsupported);
}

TEST(DesignCurve, bridges_a_reading_that_is_missing) {
  std::vector<Sample> samples = made_samples({});
  for (std::size_t i = 3; i < samples.size(); i += 7) samples[i].volts.reset();
  const auto curve = shape_of({samples, Second(0.0), end_of_made({}), 6});
  ASSERT_TRUE(curve) << curve.error().what;
  EXPECT_NEAR(curve->at(0.5).volts.si(), made_cell_v(0.5), 2e-4);
}

TEST(DesignCurveText, gives_the_same_curve_back) {
  DesignCurve curve = made_curve();
  curve.key.size_code = R"(odd "size" \ code)";
  const std::string written = text(curve);
  const auto read = read_design_curve(written, "curve.toml");
  ASSERT_TRUE(read) << read.error().front().line();
  EXPECT_EQ(read->key, curve.key);
  EXPECT_EQ(read->batteries, curve.batteries);
  EXPECT_EQ(text(*read), written);
}

TEST(DesignCurveText, refuses_a_curve_of_too_few_batteries_and_says_every_mistake) {
  std::string written = text(made_curve());
  written.replace(written.find("batteries = 5"), 13, "batteries = 4");
  written.replace(written.find("\"flooded\""), 9, "\"lithium\"");
  const auto read = read_design_curve(written, "curve.toml");
  ASSERT_FALSE(read);
  EXPECT_EQ(read.error().size(), 2U);
}

TEST(DesignCurveText, refuses_volts_that_rise_towards_the_end) {
  DesignCurve curve = made_curve();
  curve.cell[60] = Volt(2.1);
  EXPECT_FALSE(read_design_curve(text(curve), "curve.toml"));
}

TEST(DesignCurveText, of_several_versions_of_a_key_the_newest_counts) {
  std::vector<DesignCurve> curves(3, made_curve());
  curves[0].version = 2;
  curves[1].version = 3;
  curves[2].version = 4;
  curves[2].key.size_code = "T7";
  EXPECT_EQ(newest_of(curves, t6), &curves[1]);
  EXPECT_EQ(newest_of(curves, {"T8", Chemistry::flooded, minutes(120.0)}), nullptr);
}

}  // namespace
}  // namespace leadwright
