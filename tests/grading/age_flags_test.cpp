// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/age_flags.h"

#include <gmock/gmock.h>

#include "daemon/grading/flags.h"
#include "daemon/grading/grade.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;
using testing::StartsWith;

class UsualLifeTest : public testing::Test {
 protected:
  void SetUp() override {
    policy.usual.life_from_months = 36;
    policy.usual.life_to_months = 60;
    evidence.judged_at = *Utc::parse("2026-06-15");
  }
  std::string told() const {
    const auto said = usual_life_said(evidence, policy);
    return said ? said->text() : std::string();
  }
  Evidence evidence;
  Policy policy;
};

TEST_F(UsualLifeTest, is_told_with_the_age_and_its_mark) {
  evidence.nameplate.manufactured_on = "2025-06-01";
  EXPECT_THAT(told(),
              AllOf(StartsWith("It was made 12 months ago, before the 36 to 60 months"),
                    HasSubstr("common practice, no source"), HasSubstr("age alone explains no failure")));
  evidence.nameplate.manufactured_on = "2023-06-15";
  EXPECT_THAT(told(), StartsWith("It was made 36 months ago, within"));
  evidence.nameplate.manufactured_on = "2021-06-15";
  EXPECT_THAT(told(), StartsWith("It was made 60 months ago, within"));
  evidence.nameplate.manufactured_on = "2021-05-15";
  EXPECT_THAT(told(), StartsWith("It was made 61 months ago, past"));
}

TEST_F(UsualLifeTest, is_counted_from_the_sale_where_no_date_code_was_read) {
  evidence.story.sold_on = "2022-01-10";
  EXPECT_THAT(told(), StartsWith("It was sold 53 months ago, and its age is unknown, within"));
}

TEST_F(UsualLifeTest, is_not_told_of_an_unknown_age_a_future_one_or_by_a_policy_that_names_none) {
  EXPECT_EQ(told(), "");
  evidence.nameplate.manufactured_on = "2026-09-01";
  EXPECT_EQ(told(), "");
  evidence.nameplate.manufactured_on = "2020-06-01";
  policy.usual = {};
  EXPECT_EQ(told(), "");
}

TEST_F(UsualLifeTest, is_a_flag_and_changes_no_letter) {
  evidence.nameplate.chemistry = Chemistry::flooded;
  const Grade young = grade(evidence, policy);
  evidence.nameplate.manufactured_on = "2010-01-01";
  const Grade old = grade(evidence, policy);
  EXPECT_EQ(old.letter, young.letter);
  EXPECT_EQ(old.reason, young.reason);
  EXPECT_THAT(old.flags, Contains(HasSubstr("Its letter rests on what was measured alone")));
}

}  // namespace
}  // namespace leadwright
