// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/signs.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/grading/flags.h"
#include "tests/grading/signs_fixture.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

class SignsTest : public SignsOfEvidence {
 protected:
  void SetUp() override { evidence.nameplate.cca = Rating<Ampere>{Ampere(600.0), RatingStandard::sae}; }
  void found(Measurand measurand, double value, double u, std::int64_t run = 2) {
    Finding finding;
    finding.run = RunId{run};
    finding.measurand = measurand;
    finding.value = value;
    finding.u = u;
    evidence.findings.push_back(finding);
  }
  void charged() {
    leadwright::Run run;
    run.id = RunId{1};
    run.procedure = policy.procedures.charge;
    run.outcome = RunOutcome::complete;
    evidence.runs.push_back(run);
  }
};

TEST_F(SignsTest, are_none_where_nothing_was_measured) {
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(SignsTest, are_none_for_a_sound_battery_full_or_not) {
  found(Measurand::resistance, 0.0046, 0.00005);
  found(Measurand::soc, 0.80, 0.05);
  charged();
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(SignsTest, a_battery_that_a_charge_did_not_fill_and_that_is_resistive_is_sulphated) {
  found(Measurand::resistance, 0.0103, 0.00005);
  found(Measurand::soc, 0.86, 0.05);
  EXPECT_EQ(kinds(), Kinds{}) << "nobody has charged it yet";
  charged();
  EXPECT_EQ(kinds(), Kinds{SignKind::sulphation});
}

TEST_F(SignsTest, a_full_battery_that_is_resistive_is_corroded_or_lacks_acid) {
  found(Measurand::resistance, 0.0084, 0.00005);
  found(Measurand::soc, 0.95, 0.05);
  EXPECT_EQ(kinds(), Kinds{SignKind::resistive_when_full});
}

TEST_F(SignsTest, a_resistance_that_may_still_be_usual_is_no_sign) {
  found(Measurand::resistance, 0.0077, 0.0002);  // 4.62 V, surely 4.38 V; the limit is 4.48 V
  found(Measurand::soc, 0.95, 0.05);
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(SignsTest, without_a_cranking_current_on_the_label_a_resistance_says_nothing) {
  evidence.nameplate.cca.reset();
  found(Measurand::resistance, 0.02, 0.00005);
  found(Measurand::soc, 0.95, 0.05);
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(SignsTest, a_three_minute_charge_beyond_its_limit_is_sulphation_by_itself) {
  found(Measurand::charge_margin, -0.30, 0.02);
  EXPECT_EQ(kinds(), Kinds{SignKind::sulphation});
  evidence.findings.back().value = -0.03;
  EXPECT_EQ(kinds(), Kinds{}) << "within its uncertainty";
}

TEST_F(SignsTest, a_battery_that_falls_fast_at_rest_discharges_itself) {
  found(Measurand::rest_slope, -55.0, 5.0);
  EXPECT_EQ(kinds(), Kinds{SignKind::self_discharge});
  evidence.findings.back().value = -35.0;
  EXPECT_EQ(kinds(), Kinds{}) << "within its uncertainty";
}

TEST_F(SignsTest, are_told_among_the_flags) {
  found(Measurand::rest_slope, -55.0, 5.0);
  EXPECT_THAT(flags_of(evidence, policy),
              testing::Contains(testing::Property(&Sentence::text, HasSubstr("falls by 55 mV a day"))));
}

}  // namespace
}  // namespace leadwright
