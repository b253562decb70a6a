// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/curve_fit.h"

#include <gtest/gtest.h>

#include "daemon/battery/plateau_watch.h"
#include "tests/battery/design_maker.h"

namespace leadwright {
namespace {

constexpr Volt cutoff{1.75};

DischargeBins bins_of(const MadeDischarge& made, Second until) {
  DischargeBins bins;
  for (const Sample& sample : made_samples(made, until)) bins.add(sample.at, *sample.volts / 6.0);
  return bins;
}

TEST(DischargeBins, leave_out_the_first_minute) {
  DischargeBins bins;
  bins.add(Second(10.0), Volt(2.0));
  EXPECT_TRUE(bins.bins().empty());
  bins.add(Second(61.0), Volt(2.0));
  ASSERT_EQ(bins.bins().size(), 1U);
  EXPECT_EQ(bins.last(), Second(61.0));
}

TEST(DischargeBins, stay_bounded_and_in_order_however_long_it_lasts) {
  DischargeBins bins;
  int added = 0;
  for (Second at = Second(60.0); at < hours(12.0); at += Second(0.5), ++added) bins.add(at, Volt(2.0));
  EXPECT_LE(bins.bins().size(), DischargeBins::bins_max);
  EXPECT_GT(bins.bins().size(), DischargeBins::bins_max / 4);
  int counted = 0;
  Second before;
  for (const DischargeBins::Bin& bin : bins.bins()) {
    EXPECT_GT(bin.at, before);
    EXPECT_NEAR(bin.cell.si(), 2.0, 1e-9);
    before = bin.at;
    counted += bin.count;
  }
  EXPECT_EQ(counted, added);
}

TEST(DischargeBins, keep_the_mean_when_two_become_one) {
  DischargeBins bins;
  double sum = 0.0;
  int count = 0;
  for (Second at = Second(60.0); at < hours(3.0); at += Second(5.0), ++count) {
    const Volt cell(2.1 - 0.00002 * at.si());
    bins.add(at, cell);
    sum += cell.si();
  }
  double weighted = 0.0;
  for (const DischargeBins::Bin& bin : bins.bins()) weighted += bin.cell.si() * bin.count;
  EXPECT_NEAR(weighted / count, sum / count, 1e-9);
}

TEST(CurveFit, finds_a_battery_that_runs_faster_and_lies_lower) {
  const MadeDischarge worn{1.4, 0.3};
  const CurveFit fit = fit_curve(made_curve(), bins_of(worn, minutes(40.0)), {}, cutoff);
  EXPECT_NEAR(fit.rate, 1.4, 0.05);
  EXPECT_NEAR(fit.lowered.si(), 0.05, 0.01);
  EXPECT_NEAR(as_minutes(fit.end), as_minutes(end_of_made(worn)), 2.0);
}

TEST(CurveFit, says_of_less_that_it_knows_less) {
  const MadeDischarge worn{1.2, 0.1};
  const CurveFit early = fit_curve(made_curve(), bins_of(worn, minutes(6.0)), {}, cutoff);
  const CurveFit late = fit_curve(made_curve(), bins_of(worn, minutes(60.0)), {}, cutoff);
  EXPECT_GT(early.u_end, late.u_end * 2.0);
}

TEST(CurveFit, without_a_sample_is_what_was_believed) {
  FitPrior prior;
  prior.log_rate = 0.0;
  prior.lowered = Volt(0.0);
  const CurveFit fit = fit_curve(made_curve(), {}, prior, cutoff);
  EXPECT_NEAR(as_minutes(fit.end), 120.0, 0.1);
  EXPECT_GT(fit.u_end, minutes(40.0));
}

TEST(CurveFit, finds_a_battery_that_lasts_a_fifth_of_its_nominal_minutes) {
  const MadeDischarge bad{4.0, 0.4};
  const Second end = end_of_made(bad);
  const CurveFit fit = fit_curve(made_curve(), bins_of(bad, end * 0.6), {}, cutoff);
  EXPECT_NEAR(fit.end / end, 1.0, 0.05);
}

TEST(PlateauWatch, sees_a_cell_leave_the_plateau_minutes_before_the_end) {
  MadeDischarge weak;
  weak.weak_from = minutes(70.0);
  const Second end = end_of_made(weak);
  PlateauWatch watch;
  const DesignCurve curve = made_curve();
  std::optional<Second> seen;
  for (const Sample& sample : made_samples(weak)) {
    watch.add(sample.at, *sample.volts / 6.0);
    const auto fall = watch.fall(curve, {}, cutoff);
    if (fall && *fall * 6.0 > PlateauWatch::fall_min && !seen) seen = sample.at;
  }
  ASSERT_TRUE(seen);
  EXPECT_GT(*seen, weak.weak_from);
  EXPECT_LT(*seen, end - minutes(3.0));
}

TEST(PlateauWatch, is_quiet_at_batteries_whose_cells_are_alike) {
  const DesignCurve curve = made_curve();
  for (const MadeDischarge made :
       {MadeDischarge{1.0, 0.0}, MadeDischarge{1.3, 0.3}, MadeDischarge{2.0, 0.2}}) {
    PlateauWatch watch;
    for (const Sample& sample : made_samples(made)) {
      watch.add(sample.at, *sample.volts / 6.0);
      const auto fall = watch.fall(curve, {}, cutoff);
      EXPECT_LT(fall.value_or(Volt(0.0)) * 6.0, PlateauWatch::fall_min) << made.rate << " " << sample.at.si();
    }
  }
}

TEST(PlateauWatch, says_nothing_in_the_first_minutes) {
  PlateauWatch watch;
  for (Second at; at < minutes(6.0); at += Second(5.0)) watch.add(at, Volt(2.0));
  EXPECT_FALSE(watch.fall(made_curve(), {}, cutoff));
}

}  // namespace
}  // namespace leadwright
