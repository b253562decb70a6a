// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/admission.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

AdmissionFacts sound_facts() {
  AdmissionFacts facts;
  facts.nameplate.chemistry = Chemistry::flooded;
  facts.nameplate.cells = 6;
  facts.volts = Volt(12.6);
  return facts;
}

TEST(Admission, a_sound_lead_battery_may_be_energised) {
  EXPECT_FALSE(refusal(sound_facts()));
}

TEST(Admission, every_chemistry_but_lead_is_refused_whatever_the_voltage) {
  for (const Chemistry chemistry : {Chemistry::lithium, Chemistry::other, Chemistry::unknown}) {
    AdmissionFacts facts = sound_facts();
    facts.nameplate.chemistry = chemistry;
    facts.same_battery_at = facts.volts;
    facts.cells_confirmed = true;
    const auto refused = refusal(facts);
    ASSERT_TRUE(refused) << word(chemistry);
    EXPECT_EQ(refused->error.code, Errc::refused);
    EXPECT_FALSE(refused->ask) << "no answer may clear it";
  }
}

TEST(Admission, a_missing_reading_is_never_taken_for_a_voltage) {
  AdmissionFacts facts = sound_facts();
  facts.volts.reset();
  EXPECT_TRUE(refusal(facts));
}

TEST(Admission, a_reversed_battery_is_a_fault_and_a_flat_one_is_not) {
  AdmissionFacts facts = sound_facts();
  facts.volts = Volt(-12.4);
  ASSERT_TRUE(refusal(facts));
  EXPECT_EQ(refusal(facts)->fault, FaultKind::reversed);
  facts.volts = Volt(1.2);
  ASSERT_TRUE(refusal(facts));
  EXPECT_FALSE(refusal(facts)->fault);
}

TEST(Admission, twelve_volts_on_the_label_and_less_than_eight_at_the_posts_asks_for_the_cells) {
  AdmissionFacts facts = sound_facts();
  facts.volts = Volt(7.99);
  ASSERT_TRUE(refusal(facts));
  EXPECT_EQ(refusal(facts)->ask->of, AskOf::cells);
  facts.volts = Volt(8.0);
  EXPECT_FALSE(refusal(facts));
  facts.volts = Volt(7.99);
  facts.cells_confirmed = true;
  EXPECT_FALSE(refusal(facts));
}

TEST(Admission, a_confirmed_count_of_three_cells_can_not_read_twelve_volts) {
  AdmissionFacts facts = sound_facts();
  facts.nameplate.cells = 3;
  facts.cells_confirmed = true;
  ASSERT_TRUE(refusal(facts));
  EXPECT_EQ(refusal(facts)->error.code, Errc::refused);
}

TEST(Admission, two_meters_that_disagree_blame_the_clamp_before_the_battery) {
  AdmissionFacts facts = sound_facts();
  facts.second_volts = Volt(12.44);
  ASSERT_TRUE(refusal(facts));
  EXPECT_NE(refusal(facts)->error.mend.find("clamps"), std::string::npos);
  facts.second_volts = Volt(12.46);
  EXPECT_FALSE(refusal(facts));
}

TEST(Admission, another_voltage_than_last_time_asks_whether_it_is_the_same_battery) {
  AdmissionFacts facts = sound_facts();
  facts.expected = ExpectedVolts{Volt(12.3), Volt(0.12), Volt(0.12)};
  ASSERT_TRUE(refusal(facts));
  EXPECT_EQ(refusal(facts)->ask->of, AskOf::same_battery);
  EXPECT_EQ(refusal(facts)->ask->read, facts.volts);
  facts.same_battery_at = facts.volts;
  EXPECT_FALSE(refusal(facts));
}

TEST(Admission, an_answer_about_one_battery_does_not_count_for_another_that_came_since) {
  AdmissionFacts facts = sound_facts();
  facts.expected = ExpectedVolts{Volt(6.0), Volt(0.12), Volt(0.12)};
  facts.same_battery_at = *facts.volts + Volt(1.8);
  ASSERT_TRUE(refusal(facts));
  EXPECT_EQ(refusal(facts)->ask->of, AskOf::same_battery);
  facts.same_battery_at = *facts.volts + Volt(0.25);
  EXPECT_FALSE(refusal(facts)) << "it drifts at rest while a person comes back";
}

}  // namespace
}  // namespace leadwright
