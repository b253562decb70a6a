// SPDX-License-Identifier: Apache-2.0
// Charged in run 4, emptied in run 5, charged in run 6.
#include "daemon/grading/charge_flags.h"

#include <gmock/gmock.h>

#include "tests/grading/shipped_policies.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

Evidence put_back(double ah) {
  Evidence evidence = charged_and_rested(0.5);
  evidence.runs.push_back(complete_run(5, "reserve capacity"));
  evidence.runs.push_back(complete_run(6, "recharge before leaving"));
  evidence.findings.push_back(measured(Measurand::delivered, 40.0, 0.1, 5));
  evidence.findings.push_back(measured(Measurand::returned, ah, 0.1, 6));
  return evidence;
}

const Policy& resale() {
  static const Policy rebuilder = shipped("rebuilder_resale");
  return rebuilder;
}

TEST(ChargeFactor, is_what_was_put_back_over_what_was_taken) {
  const auto factor = charge_factor_of(put_back(44.0), resale());
  ASSERT_TRUE(factor);
  EXPECT_NEAR(factor->value, 1.10, 1e-9);
  // By hand: 1.1 x hypot(0.1/44, 0.1/40).
  EXPECT_NEAR(factor->u, 0.003717, 1e-5);
  EXPECT_THAT(charge_flags(put_back(44.0), resale()), IsEmpty()) << "usual";
}

TEST(ChargeFactor, is_pointed_out_where_too_little_or_too_much_was_put_back) {
  ASSERT_EQ(charge_flags(put_back(30.0), resale()).size(), 1U);
  EXPECT_THAT(charge_flags(put_back(30.0), resale())[0].text(), HasSubstr("put back only 0.75 of what"));
  ASSERT_EQ(charge_flags(put_back(60.0), resale()).size(), 1U);
  EXPECT_THAT(charge_flags(put_back(60.0), resale())[0].text(), HasSubstr("put back 1.50 times what"));
}

TEST(ChargeFactor, is_missing_where_it_did_not_begin_full_or_something_came_between) {
  Evidence began_flat = put_back(44.0);
  std::erase_if(began_flat.runs, [](const leadwright::Run& run) { return run.id == RunId{4}; });
  EXPECT_FALSE(charge_factor_of(began_flat, resale()));
  Evidence twice = put_back(44.0);
  twice.runs.back().id = RunId{7};
  twice.findings.back().run = RunId{7};
  twice.runs.insert(twice.runs.end() - 1, complete_run(6, "standard charge"));
  EXPECT_FALSE(charge_factor_of(twice, resale()));
  Evidence before = charged_and_rested(0.5);
  before.findings.push_back(measured(Measurand::returned, 44.0, 0.1, 4));
  EXPECT_FALSE(charge_factor_of(before, resale()));
}

Evidence cycled(double before_min, double after_min) {
  Evidence evidence = charged_and_rested(0.5);
  evidence.runs.push_back(complete_run(5, "reserve capacity"));
  evidence.runs.push_back(complete_run(6, "conditioning cycle"));
  evidence.runs.push_back(complete_run(7, "reserve capacity"));
  evidence.findings.push_back(measured(Measurand::reserve_capacity_ref, before_min, 1.5, 5));
  evidence.findings.push_back(measured(Measurand::reserve_capacity_ref, after_min, 2.0, 7));
  return evidence;
}

TEST(RecoveryGain, is_what_a_conditioning_cycle_changed) {
  const auto gain = recovery_gain_of(cycled(46.0, 60.0), resale());
  ASSERT_TRUE(gain);
  EXPECT_NEAR(gain->after_min - gain->before_min, 14.0, 1e-9);
  EXPECT_NEAR(gain->u_min, 2.5, 1e-9);
  ASSERT_EQ(charge_flags(cycled(46.0, 60.0), resale()).size(), 1U);
  EXPECT_EQ(charge_flags(cycled(46.0, 60.0), resale())[0].text(),
            "Its conditioning cycle changed its reserve capacity from 46.0 min to 60.0 min.");
  EXPECT_THAT(charge_flags(cycled(46.0, 50.0), resale())[0].text(), HasSubstr("no more than two tests"));
}

TEST(RecoveryGain, needs_minutes_on_both_sides_of_the_cycle) {
  Evidence evidence = cycled(46.0, 60.0);
  evidence.findings.pop_back();
  EXPECT_FALSE(recovery_gain_of(evidence, resale()));
  Evidence uncycled = cycled(46.0, 60.0);
  uncycled.runs.erase(uncycled.runs.end() - 2);
  EXPECT_FALSE(recovery_gain_of(uncycled, resale()));
}

}  // namespace
}  // namespace leadwright
