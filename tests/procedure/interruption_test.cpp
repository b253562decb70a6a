// SPDX-License-Identifier: Apache-2.0
// What a procedure may say of its runs after an interruption, and what is proved of it.
#include <gmock/gmock.h>

#include "daemon/procedure/proof.h"
#include "tests/procedure/made_steps.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

constexpr const char* a_charge = R"(
[[step]]
name = "charge"
do = "charge"
what = "Charge."
amps = "5 A"
volts = "charge_volts"
at_most = "1 h"
)";
const std::string an_hour_drawn = made_draw("1 h");
const std::string an_hour_at_rest = made_rest("1 h");

std::string finding(const std::string& calculation, const std::string& of) {
  return "\n[[step]]\nname = \"state\"\ndo = \"state\"\nwhat = \"State.\"\nfinding = \"" + calculation +
         "\"\nof = [\"" + of + "\"]\n";
}

tl::expected<Procedure, std::vector<Error>> file(const std::string& body, const std::string& rule) {
  return read_procedure(made_head + rule + body, "p.toml");
}

constexpr const char* goes_on = "after_interruption = \"resume\"\n";

std::vector<Error> stitched_in(const std::string& body) {
  const auto procedure = file(body, goes_on);
  EXPECT_TRUE(procedure) << procedure.error().front().line();
  return procedure ? stitched(*procedure) : std::vector<Error>{};
}

TEST(Interruption, a_run_is_void_unless_its_procedure_says_that_it_goes_on) {
  EXPECT_FALSE(file(a_charge, "")->resumes);
  EXPECT_FALSE(file(a_charge, "after_interruption = \"void\"\n")->resumes);
  EXPECT_TRUE(file(a_charge, goes_on)->resumes);
  EXPECT_EQ(file(a_charge, goes_on)->interruption_max, minutes(15.0));
  EXPECT_EQ(file(a_charge, std::string(goes_on) + "interruption_max = \"2 h\"\n")->interruption_max,
            hours(2.0));
}

TEST(Interruption, another_word_or_a_limit_without_the_rule_is_refused) {
  const auto word = file(a_charge, "after_interruption = \"repeat\"\n");
  ASSERT_FALSE(word);
  EXPECT_THAT(word.error().front().line(), HasSubstr("a run is not \"repeat\" after an interruption"));
  EXPECT_FALSE(file(a_charge, "interruption_max = \"5 min\"\n"));
  EXPECT_FALSE(file(a_charge, std::string(goes_on) + "interruption_max = \"13 h\"\n"));
}

TEST(Interruption, what_is_measured_in_one_piece_can_not_go_on) {
  for (const char* calculation : {"reserve_capacity", "capacity_20h"}) {
    const auto errors = stitched_in(an_hour_drawn + finding(calculation, "draw"));
    ASSERT_EQ(errors.size(), 1U) << calculation;
    EXPECT_THAT(errors.front().what, HasSubstr("would be stitched together"));
  }
  EXPECT_EQ(stitched_in(an_hour_at_rest + finding("retention", "rest")).size(), 1U);
  EXPECT_EQ(stitched_in(a_charge + finding("three_minute_charge", "charge")).size(), 1U);
  EXPECT_EQ(stitched_in(a_charge + finding("delivered_charge", "charge")).size(), 1U);
  EXPECT_EQ(stitched_in(an_hour_drawn + finding("returned_charge", "draw")).size(), 1U);
  EXPECT_EQ(stitched_in("\n[[step]]\nname = \"pulses\"\ndo = \"pulse\"\nwhat = \"Pulses.\"\namps = \"10 A\"\n"
                        "count = 3\nat_most = \"1 min\"\ncutoff = \"1.72 V * cells\"\n")
                .size(),
            1U);
}

TEST(Interruption, charges_and_rests_may_go_on_and_a_discharge_beside_them_stays_whole) {
  EXPECT_THAT(stitched_in(a_charge + finding("returned_charge", "charge")), IsEmpty());
  EXPECT_THAT(stitched_in(an_hour_at_rest + finding("ocv", "rest")), IsEmpty());
  EXPECT_THAT(stitched_in(std::string(a_charge) + an_hour_drawn + finding("delivered_charge", "draw")),
              IsEmpty());
}

TEST(Interruption, the_limit_of_the_run_has_room_for_the_interruptions) {
  const std::string limits = "\n[limits]\ntime_max = \"70 min\"\n";
  EXPECT_THAT(unproved(*file(limits + an_hour_at_rest, "")), IsEmpty());
  const auto errors = unproved(*file(limits + an_hour_at_rest, goes_on));
  ASSERT_EQ(errors.size(), 1U);
  EXPECT_THAT(errors.front().what, HasSubstr("the steps and interruptions can take 1.75 h"));
}

TEST(Interruption, the_shipped_procedures_that_go_on_are_these) {
  const auto all = load_procedures(LEADWRIGHT_SOURCE_DIR "/config/procedures");
  ASSERT_TRUE(all) << all.error().front().line();
  std::vector<std::string> names;
  for (const Procedure& each : *all) {
    if (each.resumes) names.push_back(each.name);
  }
  EXPECT_THAT(names, testing::UnorderedElementsAre("standard charge", "recharge before leaving",
                                                   "stability rest", "recovery of a deep-discharged battery",
                                                   "conditioning cycle", "new-battery confirmation"));
}

}  // namespace
}  // namespace leadwright
