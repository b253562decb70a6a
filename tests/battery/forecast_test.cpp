// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/forecast.h"

#include <gtest/gtest.h>

#include "tests/battery/design_maker.h"

namespace leadwright {
namespace {

ForecastSubject of_the_design() {
  ForecastSubject subject;
  subject.nominal = minutes(120.0);
  subject.curve = made_curve();
  return subject;
}

Forecast after(const MadeDischarge& made, Second seen, const ForecastSubject& subject,
               const ForecastSettings& settings = {}) {
  DischargeForecast forecast(subject, settings);
  for (const Sample& sample : made_samples(made, seen)) forecast.add(sample.at, *sample.volts);
  return forecast.now();
}

TEST(Forecast, by_the_label_alone_is_wide_and_says_so) {
  ForecastSubject subject = of_the_design();
  subject.curve.reset();
  const Forecast forecast = after({}, minutes(10.0), subject);
  EXPECT_EQ(forecast.method, ForecastMethod::label);
  EXPECT_NEAR(as_minutes(forecast.whole.likely), 90.0, 2.0);  // C: 0.75 of 120
  EXPECT_LT(forecast.whole.earliest, minutes(50.0));
  EXPECT_GT(forecast.whole.latest, minutes(150.0));
  EXPECT_NE(text(forecast).find("before the discharge"), std::string::npos) << text(forecast);
}

TEST(Forecast, by_the_label_alone_counts_what_has_been_survived) {
  ForecastSubject subject = of_the_design();
  subject.curve.reset();
  const Forecast forecast = after({0.8}, minutes(130.0), subject);
  EXPECT_GE(forecast.whole.earliest, minutes(130.0));
  EXPECT_GT(forecast.whole.likely, forecast.whole.earliest);
  EXPECT_GT(forecast.whole.latest, forecast.whole.likely);
}

TEST(Forecast, by_an_earlier_discharge_is_narrower_than_by_the_label) {
  ForecastSubject subject = of_the_design();
  subject.curve.reset();
  const Forecast by_label = after({}, Second(0.0), subject);
  subject.earlier = minutes(80.0);
  const Forecast by_earlier = after({}, Second(0.0), subject);
  EXPECT_NEAR(as_minutes(by_earlier.whole.likely), 80.0, 1.0);
  EXPECT_LT(by_earlier.whole.latest - by_earlier.whole.earliest,
            (by_label.whole.latest - by_label.whole.earliest) * 0.6);
}

TEST(Forecast, by_the_designs_curve_holds_the_end_of_a_worn_battery_from_a_tenth_on) {
  const MadeDischarge worn{1.3, 0.2};
  const Second end = end_of_made(worn);
  for (const double share : {0.1, 0.2, 0.4, 0.6}) {
    const Forecast forecast = after(worn, minutes(120.0 * share), of_the_design());
    EXPECT_EQ(forecast.method, ForecastMethod::design_curve);
    EXPECT_LT(forecast.alike.earliest, end) << share;
    EXPECT_GT(forecast.alike.latest, end) << share;
    EXPECT_NEAR(as_minutes(forecast.alike.likely), as_minutes(end), 6.0) << share;
    EXPECT_LE(forecast.whole.earliest, forecast.alike.earliest) << share;
  }
}

TEST(Forecast, grows_narrower_as_the_discharge_goes_on) {
  const MadeDischarge worn{1.1, 0.1};
  Second before = hours(100.0);
  for (const double share : {0.05, 0.2, 0.6}) {
    const Forecast forecast = after(worn, minutes(120.0 * share), of_the_design());
    const Second width = forecast.alike.latest - forecast.alike.earliest;
    EXPECT_LT(width, before) << share;
    before = width;
  }
}

TEST(Forecast, keeps_the_weak_cell_in_its_interval_until_survival_rules_it_out) {
  const Forecast early = after({}, minutes(15.0), of_the_design());
  const Forecast late = after({}, minutes(110.0), of_the_design());
  EXPECT_LT(early.whole.earliest, minutes(70.0));
  EXPECT_NEAR(early.weak_cell, 0.10, 0.01);
  EXPECT_NEAR(early.unwarned, 0.30, 0.01);
  EXPECT_LT(late.unwarned, 0.06);
  EXPECT_GT(late.whole.earliest, minutes(110.0));
}

TEST(Forecast, without_an_unwarned_end_in_its_belief_is_that_of_cells_alike) {
  ForecastSettings settings;
  settings.weak_cell_share = 0.0;
  settings.spent_plates_share = 0.0;
  const Forecast forecast = after({}, minutes(30.0), of_the_design(), settings);
  EXPECT_EQ(forecast.weak_cell, 0.0);
  EXPECT_NEAR(as_minutes(forecast.whole.earliest), as_minutes(forecast.alike.earliest), 0.5);
  EXPECT_NEAR(as_minutes(forecast.whole.latest), as_minutes(forecast.alike.latest), 0.5);
}

TEST(Forecast, turns_to_the_near_end_when_the_voltage_leaves_the_plateau) {
  MadeDischarge weak;
  weak.weak_from = minutes(60.0);
  const Second end = end_of_made(weak);
  const Forecast forecast = after(weak, end - minutes(1.0), of_the_design());
  EXPECT_TRUE(forecast.leaves_plateau);
  EXPECT_LE(forecast.whole.earliest, end + minutes(1.0));
  EXPECT_LT(forecast.whole.likely, end + minutes(25.0));
  EXPECT_NE(text(forecast).find("leaves the plateau"), std::string::npos) << text(forecast);
}

TEST(Forecast, never_lies_in_the_past) {
  for (const double share : {0.02, 0.3, 0.9, 1.2}) {
    const Second seen = minutes(120.0 * share);
    const Forecast forecast = after({0.8}, seen, of_the_design());
    EXPECT_GE(forecast.whole.earliest, forecast.seen) << share;
    EXPECT_GE(forecast.alike.earliest, forecast.seen) << share;
    EXPECT_LE(forecast.whole.earliest, forecast.whole.likely) << share;
    EXPECT_LE(forecast.whole.likely, forecast.whole.latest) << share;
  }
}

TEST(Forecast, does_not_change_with_the_rate_of_the_samples) {
  DischargeForecast often(of_the_design(), {});
  DischargeForecast seldom(of_the_design(), {});
  for (Second at; at < minutes(40.0); at += Second(0.5)) {
    often.add(at, made_volts({1.2, 0.1}, at));
    if (std::fmod(at.si(), 5.0) == 0.0) seldom.add(at, made_volts({1.2, 0.1}, at));
  }
  const Forecast first = often.now();
  const Forecast second = seldom.now();
  EXPECT_NEAR(as_minutes(first.alike.likely), as_minutes(second.alike.likely), 1.0);
  EXPECT_NEAR((first.alike.latest - first.alike.earliest) / (second.alike.latest - second.alike.earliest),
              1.0, 0.05);
}

TEST(Forecast, is_scaled_by_the_number_of_cells) {
  MadeDischarge three{1.2, 0.0};
  three.cells = 3;
  ForecastSubject subject = of_the_design();
  subject.cells = 3;
  const Forecast of_three = after(three, minutes(40.0), subject);
  const Forecast of_six = after({1.2, 0.0}, minutes(40.0), of_the_design());
  EXPECT_NEAR(as_minutes(of_three.alike.likely), as_minutes(of_six.alike.likely), 1e-6);
}

TEST(Forecast, tells_what_it_rests_on) {
  const std::string line = text(after({}, minutes(30.0), of_the_design()));
  EXPECT_NE(line.find("by the curve of 5 batteries of its design after 30 min"), std::string::npos) << line;
}

}  // namespace
}  // namespace leadwright
