// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/acid_signs.h"

#include <gmock/gmock.h>

#include "daemon/battery/acid.h"
#include "daemon/grading/flags.h"
#include "daemon/grading/grade.h"
#include "tests/grading/signs_fixture.h"

namespace leadwright {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Property;

const Utc some_morning{1'700'000'000'000'000'000};
constexpr std::int64_t hour_ns = 3'600'000'000'000;

Utc hour(int number) {
  return Utc(some_morning.ns() + number * hour_ns);
}

class AcidSignsTest : public SignsOfEvidence {
 protected:
  void SetUp() override {
    evidence.nameplate.chemistry = Chemistry::flooded;
    evidence.nameplate.cells = 6;
    evidence.nameplate.c20 = Rating<Coulomb>{ampere_hours(60.0), RatingStandard::en};
  }
  /// A look with a hydrometer at that hour.
  void read(const std::vector<double>& gravity, int at = 5) {
    evidence.inspection.acid = AcidReading{{}, Celsius(26.7), hour(at)};
    for (const double each : gravity) evidence.inspection.acid->gravity.emplace_back(SpecificGravity{each});
    for (Finding& finding : findings_of(*evidence.inspection.acid, {})) evidence.findings.push_back(finding);
  }
  void rests(double volts, int at = 6) {
    Finding ocv;
    ocv.measurand = Measurand::ocv;
    ocv.value = volts;
    ocv.u = 0.006;
    ocv.run = RunId{7};
    ocv.at = hour(at);
    evidence.findings.push_back(ocv);
    const auto apart = ocv_above_acid(*evidence.inspection.acid, ocv, evidence.nameplate.cells, {});
    if (apart) evidence.findings.push_back(*apart);
  }
  void ran(const std::string& procedure, int at) {
    leadwright::Run run;
    run.id = RunId{static_cast<std::int64_t>(evidence.runs.size()) + 1};
    run.procedure = procedure;
    run.started_at = hour(at);
    run.ended_at = Utc(hour(at).ns() + hour_ns / 2);
    run.outcome = RunOutcome::complete;
    evidence.runs.push_back(run);
  }
  void found(Measurand measurand, double value, double u, int at) {
    Finding finding;
    finding.measurand = measurand;
    finding.value = value;
    finding.u = u;
    finding.run = evidence.runs.empty() ? RunId{} : evidence.runs.back().id;
    finding.at = hour(at);
    evidence.findings.push_back(finding);
  }
};

TEST_F(AcidSignsTest, are_none_for_even_acid_that_fits_the_voltage) {
  read({1.265, 1.260, 1.265, 1.260, 1.262, 1.265});
  rests(12.65);
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(AcidSignsTest, a_cell_far_below_the_others_is_weak_and_named) {
  read({1.262, 1.258, 1.190, 1.260, 1.260, 1.261});
  EXPECT_EQ(kinds(), Kinds{SignKind::weak_cell});
  EXPECT_THAT(told(), HasSubstr("cell 3, counted from the positive post, lies 0.070 below"));
}

TEST_F(AcidSignsTest, a_cell_that_lies_near_the_limit_is_read_again_first) {
  read({1.260, 1.260, 1.208, 1.260, 1.260, 1.260});
  EXPECT_EQ(kinds(), Kinds{SignKind::uneven_cells}) << "0.052 is not surely more than 0.050";
}

TEST_F(AcidSignsTest, a_spread_of_0_030_asks_for_a_charge_and_after_one_marks_a_weak_cell) {
  read({1.260, 1.260, 1.222, 1.260, 1.260, 1.260});
  EXPECT_EQ(kinds(), Kinds{SignKind::uneven_cells});
  ran(policy.procedures.charge, 3);
  EXPECT_EQ(kinds(), Kinds{SignKind::weak_cell});
  EXPECT_THAT(told(), HasSubstr("After a full charge"));
}

TEST_F(AcidSignsTest, a_charge_after_the_look_does_not_make_it_a_look_at_a_full_one) {
  read({1.260, 1.260, 1.222, 1.260, 1.260, 1.260});
  ran(policy.procedures.charge, 8);
  EXPECT_EQ(kinds(), Kinds{SignKind::uneven_cells});
}

TEST_F(AcidSignsTest, a_voltage_above_that_of_the_acid_at_the_top_is_acid_in_layers) {
  read({1.200, 1.205, 1.200, 1.200, 1.202, 1.200});
  rests(12.55);
  EXPECT_EQ(kinds(), Kinds{SignKind::stratification});
  EXPECT_THAT(told(), HasSubstr("lies in layers, weak at the top"));
}

TEST_F(AcidSignsTest, a_voltage_below_that_of_even_acid_is_a_cell_that_lacks_it) {
  read({1.265, 1.265, 1.265, 1.265, 1.265, 1.265});
  rests(12.40);
  EXPECT_EQ(kinds(), Kinds{SignKind::lacks_volts});
}

TEST_F(AcidSignsTest, a_voltage_below_that_of_uneven_acid_is_told_by_its_cells_alone) {
  read({1.265, 1.265, 1.190, 1.265, 1.265, 1.265});
  rests(11.90);
  EXPECT_EQ(kinds(), Kinds{SignKind::weak_cell});
}

TEST_F(AcidSignsTest, a_difference_within_its_uncertainty_is_none) {
  read({1.250, 1.250, 1.250, 1.250, 1.250, 1.250});
  rests(12.61);
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(AcidSignsTest, a_comparison_of_an_earlier_look_says_nothing_of_a_later_one) {
  read({1.200, 1.200, 1.200, 1.200, 1.200, 1.200});
  rests(12.60);
  ASSERT_EQ(kinds(), Kinds{SignKind::stratification});
  read({1.265, 1.265, 1.265, 1.265, 1.265, 1.265}, 9);
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(AcidSignsTest, more_ah_than_its_resting_voltage_left_missing_is_acid_in_layers) {
  found(Measurand::soc, 0.85, 0.05, 1);
  ran(policy.procedures.charge, 2);
  found(Measurand::returned, 30.0, 0.1, 3);
  EXPECT_EQ(kinds(), Kinds{SignKind::stratification});
  EXPECT_THAT(told(), HasSubstr("put in 30.0 Ah, where that leaves 15.0 Ah missing at most"));
  evidence.findings.back().value = 16.0;
  EXPECT_EQ(kinds(), Kinds{}) << "a charge loses some to gas";
}

TEST_F(AcidSignsTest, a_charge_after_a_discharge_is_compared_with_no_voltage_of_before) {
  found(Measurand::soc, 0.95, 0.05, 1);
  ran("reserve capacity", 2);
  found(Measurand::delivered, 40.0, 0.1, 2);
  ran(policy.procedures.charge, 3);
  found(Measurand::returned, 45.0, 0.1, 4);
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(AcidSignsTest, a_charge_after_a_draw_that_was_stopped_tells_nothing_either) {
  ran("stability rest", 0);
  found(Measurand::soc, 0.95, 0.05, 1);
  ran("reserve capacity", 2);
  evidence.runs.back().outcome = RunOutcome::stopped;
  ran(policy.procedures.charge, 3);
  found(Measurand::returned, 45.0, 0.1, 4);
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(AcidSignsTest, a_cycle_puts_back_what_it_took_itself) {
  found(Measurand::soc, 0.95, 0.05, 1);
  ran("conditioning cycle", 2);
  found(Measurand::delivered, 60.0, 0.1, 3);
  found(Measurand::returned, 63.0, 0.1, 4);
  EXPECT_EQ(kinds(), Kinds{});
}

TEST_F(AcidSignsTest, are_flags_and_change_no_letter) {
  const char before = grade(evidence, policy).letter;
  read({1.262, 1.258, 1.190, 1.260, 1.260, 1.261});
  const Grade after = grade(evidence, policy);
  EXPECT_EQ(after.letter, before);
  EXPECT_THAT(after.flags, Contains(HasSubstr("that cell is weak or shorted")));
}

}  // namespace
}  // namespace leadwright
