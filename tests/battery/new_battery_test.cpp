// SPDX-License-Identifier: Apache-2.0
// By hand: 12.42 V is 75 % (F, six flooded cells); 60 Ah x 0.25 x 1.10 = 16.5 Ah.
#include "daemon/battery/new_battery.h"

#include <gtest/gtest.h>

#include "daemon/battery/reserve_capacity.h"
#include "trace_maker.h"

namespace leadwright {
namespace {

TraceMaker shelved(Second length) {
  TraceMaker maker;
  maker.step("rest");
  for (double t = 0.0; t <= length.si(); t += 10.0) maker.sample(Volt(12.42), Ampere(0.0)).wait(Second(10.0));
  maker.end("voltage is stable");
  return maker;
}

FindingRequest new_request(const Trace& trace) {
  FindingRequest request;
  request.calculation = "new_battery";
  request.trace = &trace;
  request.of = {"rest"};
  request.nameplate.chemistry = Chemistry::flooded;
  request.nameplate.cells = 6;
  request.nameplate.c20 = {ampere_hours(60.0), RatingStandard::en};
  return request;
}

TEST(NewBattery, is_told_what_it_needs_before_fitting) {
  TraceMaker maker = shelved(minutes(40.0));
  const auto stated = state(new_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  ASSERT_EQ(stated->findings.size(), 3U);
  EXPECT_EQ(stated->findings[0].measurand, Measurand::ocv);
  EXPECT_EQ(stated->findings[1].measurand, Measurand::soc);
  EXPECT_EQ(stated->findings[2].measurand, Measurand::charge_needed);
  EXPECT_NEAR(stated->findings[2].value, 16.5, 0.3);
  EXPECT_GT(stated->findings[2].u, 2.0) << "the state of charge is known to some points only";
}

TEST(NewBattery, that_is_not_at_rest_gets_a_voltage_and_no_state_of_charge) {
  TraceMaker maker = shelved(minutes(5.0));
  const auto stated = state(new_request(maker.trace()));
  ASSERT_TRUE(stated) << stated.error().line();
  ASSERT_EQ(stated->findings.size(), 1U);
  EXPECT_EQ(stated->findings[0].measurand, Measurand::ocv);
}

TEST(NewBattery, without_a_capacity_is_told_no_ampere_hours) {
  TraceMaker maker = shelved(minutes(40.0));
  FindingRequest bare = new_request(maker.trace());
  bare.nameplate.c20.reset();
  EXPECT_EQ(state(bare)->findings.size(), 2U);
}

TEST(NewBattery, whose_label_states_minutes_only_gets_a_wider_interval) {
  TraceMaker maker = shelved(minutes(40.0));
  FindingRequest by_minutes = new_request(maker.trace());
  by_minutes.nameplate.c20.reset();
  by_minutes.nameplate.reserve_capacity = {minutes(95.0), RatingStandard::sae};
  const auto stated = state(by_minutes);
  ASSERT_EQ(stated->findings.size(), 3U);
  const double ah = as_ampere_hours(c20_from_reserve_capacity(minutes(95.0)));
  EXPECT_NEAR(stated->findings[2].value, ah * 0.25 * 1.10, 0.3);
  EXPECT_GT(stated->findings[2].u, state(new_request(maker.trace()))->findings[2].u);
}

TEST(NewBattery, that_rests_below_the_table_may_lack_a_cell_and_is_told_no_ampere_hours) {
  TraceMaker maker = shelved(minutes(40.0));
  for (Sample& sample : maker.trace().samples) sample.volts = Volt(10.53);
  EXPECT_EQ(state(new_request(maker.trace()))->findings.size(), 2U);
}

}  // namespace
}  // namespace leadwright
