// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/dry_out_sign.h"

#include <gmock/gmock.h>

#include "tests/grading/signs_fixture.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::HasSubstr;

/// A full battery of 60 Ah and 600 A at a raised resistance.
class DryOutTest : public SignsOfEvidence {
 protected:
  void SetUp() override {
    evidence.nameplate.chemistry = Chemistry::flooded;
    evidence.nameplate.cells = 6;
    evidence.nameplate.size_code = "l2";
    evidence.nameplate.cca = Rating<Ampere>{Ampere(600.0), RatingStandard::sae};
    evidence.nameplate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::sae};
    policy.usual.weight_kg["L2"] = 16.0;
    found(Measurand::resistance, 0.0084, 0.00005);
    found(Measurand::soc, 0.97, 0.05);
  }
  void found(Measurand measurand, double value, double u, const std::string& conditions = {}) {
    Finding finding;
    finding.run = RunId{2};
    finding.measurand = measurand;
    finding.value = value;
    finding.u = u;
    finding.conditions = conditions;
    evidence.findings.push_back(finding);
  }
  void is_not_resistive() {
    std::erase_if(evidence.findings,
                  [](const Finding& each) { return each.measurand == Measurand::resistance; });
    found(Measurand::resistance, 0.0046, 0.00005);
  }
};

TEST_F(DryOutTest, is_no_sign_by_resistance_alone) {
  EXPECT_EQ(kinds(), Kinds{SignKind::resistive_when_full});
}

TEST_F(DryOutTest, is_told_of_plates_above_the_acid_and_a_raised_resistance) {
  evidence.inspection.electrolyte_low = true;
  EXPECT_EQ(kinds(), Kinds{SignKind::dry_out});
  EXPECT_EQ(
      told(),
      "It has lost water: its plates stand above the acid; its resistance is 1.6 times the highest that is "
      "usual for its cranking current; so dry-out comes before wear or corrosion as its cause.");
}

TEST_F(DryOutTest, is_told_of_a_weight_that_is_surely_below_its_sizes) {
  evidence.inspection.weight_kg = 15.0;
  EXPECT_EQ(kinds(), Kinds{SignKind::dry_out});
  EXPECT_THAT(told(), HasSubstr("it weighs 15.0 kg, where 16.0 kg are usual for its size"));
  evidence.inspection.weight_kg = 15.2;
  EXPECT_EQ(kinds(), Kinds{SignKind::resistive_when_full}) << "15.36 kg may be a scale's error away";
}

TEST_F(DryOutTest, is_told_of_a_weight_below_its_own_of_before) {
  evidence.inspection.weight_kg = 15.5;
  evidence.earlier_weight_kg = 16.2;
  EXPECT_THAT(told(), HasSubstr("weighed 16.2 kg at an earlier visit"));
  evidence.earlier_weight_kg = 15.9;
  EXPECT_EQ(kinds(), Kinds{SignKind::resistive_when_full});
}

TEST_F(DryOutTest, is_told_of_acid_and_rest_above_what_any_full_one_has) {
  found(Measurand::acid_gravity, 1.315, 0.003);
  EXPECT_THAT(told(), HasSubstr("its acid has 1.315"));
  evidence.findings.pop_back();
  found(Measurand::ocv, 13.05, 0.006, "rested; 24.0 degC");
  EXPECT_THAT(told(),
              AllOf(HasSubstr("It has lost water"), HasSubstr("it rests at 13.05 V, above the 12.87 V")));
  evidence.nameplate.chemistry = Chemistry::agm;
  EXPECT_EQ(kinds(), Kinds{SignKind::resistive_when_full}) << "13.2 V is a full AGM battery's";
}

TEST_F(DryOutTest, is_not_told_of_a_battery_that_lost_water_and_nothing_else) {
  evidence.inspection.electrolyte_low = true;
  is_not_resistive();
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(DryOutTest, is_told_of_lost_water_and_minutes_without_a_resistance) {
  evidence.inspection.electrolyte_low = true;
  is_not_resistive();
  found(Measurand::reserve_capacity_ref, 40.0, 1.5);
  EXPECT_EQ(kinds(), Kinds{SignKind::dry_out});
  EXPECT_THAT(told(), HasSubstr("it gives 40 % of its rating"));
}

}  // namespace
}  // namespace leadwright
