// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/early.h"

#include <gtest/gtest.h>

#include "daemon/battery/uncertainty.h"
#include "tests/battery/design_maker.h"

namespace leadwright {
namespace {

constexpr Second nominal = minutes(120.0);
const EarlyRules both{true, true};
const EarlyLimits limits{minutes(126.0), minutes(68.0)};

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

TEST(Early, reached_is_decided_by_the_measured_minutes) {
  const auto decision = decide_early(both, limits, minutes(126.5), {}, nominal);
  EXPECT_EQ(decision.outcome, EarlyOutcome::reached);
  EXPECT_EQ(decision.evidence, "at least 126 min, stopped there");
}

TEST(Early, reached_is_never_decided_by_a_forecast) {
  const Forecast sure = forecast_of(minutes(190.0), minutes(191.0), minutes(125.0));
  EXPECT_EQ(decide_early(both, limits, minutes(125.0), sure, nominal).outcome, EarlyOutcome::go_on);
}

TEST(Early, a_policy_that_forbids_it_lets_the_discharge_go_on) {
  const Forecast bad = forecast_of(minutes(40.0), minutes(42.0), minutes(20.0));
  EXPECT_EQ(decide_early({}, limits, minutes(20.0), bad, nominal).outcome, EarlyOutcome::go_on);
  EXPECT_EQ(decide_early({}, limits, minutes(130.0), {}, nominal).outcome, EarlyOutcome::go_on);
}

TEST(Early, does_not_reach_takes_the_margin_and_says_that_it_is_a_forecast) {
  const Forecast bad = forecast_of(minutes(48.0), minutes(52.0), minutes(20.0));
  const auto decision = decide_early(both, limits, minutes(20.0), bad, nominal);
  EXPECT_EQ(decision.outcome, EarlyOutcome::does_not_reach);
  EXPECT_NE(decision.evidence.find("by forecast it ends before 60 min"), std::string::npos)
      << decision.evidence;
  const Forecast near = forecast_of(minutes(50.0), minutes(56.5), minutes(20.0));
  EXPECT_EQ(decide_early(both, limits, minutes(20.0), near, nominal).outcome, EarlyOutcome::go_on);
}

TEST(Early, does_not_reach_is_not_decided_in_the_first_tenth_nor_by_the_label) {
  Forecast bad = forecast_of(minutes(40.0), minutes(41.0), minutes(11.0));
  EXPECT_EQ(decide_early(both, limits, minutes(11.0), bad, nominal).outcome, EarlyOutcome::go_on);
  bad.seen = minutes(13.0);
  EXPECT_EQ(decide_early(both, limits, minutes(13.0), bad, nominal).outcome, EarlyOutcome::does_not_reach);
  bad.method = ForecastMethod::label;
  EXPECT_EQ(decide_early(both, limits, minutes(13.0), bad, nominal).outcome, EarlyOutcome::go_on);
}

TEST(Early, does_not_reach_a_limit_that_the_discharge_has_passed_is_no_answer) {
  const Forecast odd = forecast_of(minutes(60.0), minutes(61.0), minutes(69.0));
  EXPECT_EQ(decide_early(both, limits, minutes(69.0), odd, nominal).outcome, EarlyOutcome::go_on);
}

TEST(Early, a_sound_battery_is_never_said_not_to_reach) {
  ForecastSubject subject;
  subject.nominal = nominal;
  subject.curve = made_curve();
  DischargeForecast forecast(subject, {});
  for (const Sample& sample : made_samples({1.05, 0.1})) {
    forecast.add(sample.at, *sample.volts);
    if (std::fmod(sample.at.si(), 60.0) != 0.0) continue;
    const auto decision = decide_early({false, true}, limits, sample.at, forecast.now(), nominal);
    EXPECT_EQ(decision.outcome, EarlyOutcome::go_on) << sample.at.si() << decision.evidence;
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
