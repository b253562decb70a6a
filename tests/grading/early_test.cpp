// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/early.h"

#include <gtest/gtest.h>

#include "daemon/battery/forecast.h"
#include "daemon/battery/uncertainty.h"
#include "tests/battery/design_maker.h"

namespace leadwright {
namespace {

constexpr Second nominal = minutes(120.0);
constexpr Second too_few = minutes(68.0);

EarlyQuestion question_at(Celsius battery) {
  EarlyQuestion question;
  question.criterion = {nominal, Second(0.0)};
  question.at = {battery, Kelvin(1.0), Celsius(25.0)};
  return question;
}

Forecast forecast_of(Second likely, Second latest, Second seen) {
  Forecast forecast;
  forecast.method = ForecastMethod::design_curve;
  forecast.seen = seen;
  forecast.alike = {likely - (latest - likely), likely, latest};
  forecast.whole = forecast.alike;
  return forecast;
}

/// As the grade decides it, of minutes measured at 25 A.
Conformance graded(const EarlyQuestion& question, Second measured, double share) {
  const MeasuredMinutes read{measured,
                             Ampere(25.0),
                             u_of(Ampere(25.0), question.meters),
                             u_of(Volt(10.5), question.meters),
                             VoltPerSecond(-0.020 / 60.0),
                             Second(1.0)};
  const double value = as_minutes(at_reference(read, question.at, {}));
  const double u =
      std::hypot(combined(budget_of(read, question.at, {})), share * as_minutes(question.criterion.u));
  return decide({value, u}, share * as_minutes(question.criterion.minutes), question.guard_factor).outcome;
}

TEST(EarlyLimits, are_where_the_grade_would_turn) {
  for (const double degc : {15.0, 25.0, 32.0}) {
    for (const Second u : {Second(0.0), minutes(12.0)}) {
      EarlyQuestion question = question_at(Celsius(degc));
      question.criterion.u = u;
      const EarlyLimits found = early_limits(question, {});
      EXPECT_EQ(graded(question, found.reached + Second(1.0), 1.0), Conformance::conforms) << degc;
      EXPECT_EQ(graded(question, found.reached - Second(1.0), 1.0), Conformance::undecided) << degc;
      EXPECT_EQ(graded(question, found.missed - Second(1.0), 0.6), Conformance::does_not_conform) << degc;
      EXPECT_EQ(graded(question, found.missed + Second(1.0), 0.6), Conformance::undecided) << degc;
    }
  }
}

TEST(EarlyLimits, ask_a_cold_battery_for_fewer_minutes) {
  EXPECT_LT(early_limits(question_at(Celsius(15.0)), {}).reached,
            early_limits(question_at(Celsius(25.0)), {}).reached);
}

TEST(Early, does_not_reach_takes_the_margin) {
  const Forecast bad = forecast_of(minutes(48.0), minutes(52.0), minutes(20.0));
  ASSERT_TRUE(end_at_most(bad, nominal));
  EXPECT_NEAR(as_minutes(*end_at_most(bad, nominal)), 60.0, 1e-9);
  EXPECT_LT(*end_at_most(bad, nominal), too_few);
  const Forecast near = forecast_of(minutes(50.0), minutes(56.5), minutes(20.0));
  EXPECT_GT(*end_at_most(near, nominal), too_few);
}

TEST(Early, does_not_reach_is_not_decided_in_the_first_tenth_nor_by_the_label) {
  Forecast bad = forecast_of(minutes(40.0), minutes(41.0), minutes(11.0));
  EXPECT_FALSE(end_at_most(bad, nominal));
  bad.seen = minutes(13.0);
  ASSERT_TRUE(end_at_most(bad, nominal));
  EXPECT_LT(*end_at_most(bad, nominal), too_few);
  bad.method = ForecastMethod::label;
  EXPECT_FALSE(end_at_most(bad, nominal));
}

TEST(Early, a_sound_battery_is_never_said_not_to_reach) {
  ForecastSubject subject;
  subject.nominal = nominal;
  subject.curve = made_curve();
  DischargeForecast forecast(subject, {});
  for (const Sample& sample : made_samples({1.05, 0.1})) {
    forecast.add(sample.at, *sample.volts);
    if (std::fmod(sample.at.si(), 60.0) != 0.0 || sample.at >= too_few) continue;
    const auto latest = end_at_most(forecast.now(), nominal);
    EXPECT_TRUE(!latest || *latest >= too_few) << sample.at.si();
  }
}

TEST(Early, a_lower_bound_conforms_or_decides_nothing) {
  EXPECT_EQ(decide_at_least({126.0, 3.0}, 120.0, 1.645).outcome, Conformance::conforms);
  EXPECT_EQ(decide_at_least({122.0, 3.0}, 120.0, 1.645).outcome, Conformance::undecided);
  EXPECT_EQ(decide_at_least({60.0, 3.0}, 120.0, 1.645).outcome, Conformance::undecided);
}

TEST(Early, a_forecast_fails_or_decides_nothing) {
  EXPECT_EQ(decide_by_forecast({50.0, 6.0}, 72.0, 1.645).outcome, Conformance::does_not_conform);
  EXPECT_EQ(decide_by_forecast({65.0, 6.0}, 72.0, 1.645).outcome, Conformance::undecided);
  EXPECT_EQ(decide_by_forecast({190.0, 6.0}, 72.0, 1.645).outcome, Conformance::undecided);
}

}  // namespace
}  // namespace leadwright
