// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/forecast_track.h"

#include <gtest/gtest.h>

#include "tests/battery/design_maker.h"
#include "tests/battery/trace_maker.h"

namespace leadwright {
namespace {

Nameplate label() {
  Nameplate plate;
  plate.cells = 6;
  plate.chemistry = Chemistry::flooded;
  plate.size_code = "T6";
  plate.reserve_capacity = Rating<Second>{minutes(120.0), RatingStandard::en};
  return plate;
}

ForecastTrack track_of_the_design() {
  return {forecast_subject(label(), {}, made_curve()), {}};
}

/// A rest, a ramp of 4 s, then the draw up to `lasted`.
TraceMaker drawn(const MadeDischarge& made, Second lasted, Ampere amps = Ampere(25.0)) {
  TraceMaker maker;
  maker.step("rest").sample(Volt(12.7), Ampere(0.0)).wait(Second(60.0)).end("time");
  maker.step("draw").sample(Volt(12.6), Ampere(5.0)).wait(Second(4.0));
  for (const Sample& sample : made_samples(made, lasted)) maker.sample(sample.volts, amps).wait(Second(5.0));
  return maker;
}

TEST(ForecastTrack, counts_from_full_current) {
  ForecastTrack track = track_of_the_design();
  const auto forecast = track.of(drawn({1.2, 0.1}, minutes(40.0)).trace());
  ASSERT_TRUE(forecast);
  EXPECT_NEAR(as_minutes(forecast->seen), 40.0, 0.01);
  EXPECT_NEAR(as_minutes(forecast->alike.likely), as_minutes(end_of_made({1.2, 0.1})), 3.0);
  EXPECT_EQ(forecast->batteries, DesignCurve::batteries_min);
}

TEST(ForecastTrack, asked_often_answers_as_if_asked_once) {
  TraceMaker maker = drawn({1.2, 0.1}, minutes(40.0));
  Trace growing;
  growing.steps = maker.trace().steps;
  ForecastTrack often = track_of_the_design();
  std::optional<Forecast> last;
  for (const Sample& sample : maker.trace().samples) {
    growing.samples.push_back(sample);
    last = often.of(growing);
  }
  ForecastTrack once = track_of_the_design();
  ASSERT_TRUE(last);
  EXPECT_EQ(last->alike.likely, once.of(maker.trace())->alike.likely);
}

TEST(ForecastTrack, says_nothing_at_rest_nor_at_another_current) {
  ForecastTrack track = track_of_the_design();
  TraceMaker resting;
  resting.step("rest").sample(Volt(12.7), Ampere(0.0)).wait(Second(60.0)).sample(Volt(12.7), Ampere(0.0));
  EXPECT_FALSE(track.of(resting.trace()));
  EXPECT_FALSE(track_of_the_design().of(drawn({}, minutes(20.0), Ampere(4.0)).trace()));
}

TEST(ForecastTrack, says_nothing_more_once_the_current_strayed) {
  TraceMaker maker = drawn({}, minutes(20.0));
  maker.sample(Volt(12.0), Ampere(20.0)).wait(Second(5.0)).sample(Volt(12.0), Ampere(25.0));
  EXPECT_FALSE(track_of_the_design().of(maker.trace()));
}

TEST(ForecastTrack, begins_anew_with_the_next_draw) {
  ForecastTrack track = track_of_the_design();
  TraceMaker maker = drawn({}, minutes(20.0));
  ASSERT_TRUE(track.of(maker.trace()));
  maker.step("second").sample(Volt(12.5), Ampere(0.0)).wait(Second(5.0));
  EXPECT_FALSE(track.of(maker.trace()));
}

TEST(ForecastSubject, takes_the_newest_earlier_discharge_and_needs_a_rating) {
  Finding old_one;
  old_one.measurand = Measurand::reserve_capacity;
  old_one.value = 70.0;
  old_one.at = Utc{1};
  Finding new_one = old_one;
  new_one.value = 90.0;
  new_one.at = Utc{2};
  const auto subject = forecast_subject(label(), {new_one, old_one}, {});
  ASSERT_TRUE(subject);
  EXPECT_EQ(subject->earlier, minutes(90.0));
  Nameplate unrated = label();
  unrated.reserve_capacity.reset();
  EXPECT_FALSE(forecast_subject(unrated, {}, {}));
  unrated.c20 = Rating<Coulomb>{ampere_hours(60.0), RatingStandard::en};
  EXPECT_TRUE(forecast_subject(unrated, {}, {}));
}

}  // namespace
}  // namespace leadwright
