// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/monitor_flags.h"

#include <gmock/gmock.h>

namespace leadwright {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

Finding found(Measurand measurand, double value, double u) {
  Finding finding;
  finding.measurand = measurand;
  finding.value = value;
  finding.u = u;
  return finding;
}

/// Made in May 2025, came in half full at 21 degC on the first of March 2026.
Evidence evidence() {
  Evidence evidence;
  evidence.nameplate.manufactured_on = "2025-05";
  evidence.findings = {found(Measurand::soc, 0.50, 0.04), found(Measurand::temperature, 21.0, 0.5),
                       found(Measurand::soc, 1.00, 0.04)};
  evidence.judged_at = Utc::parse("2026-03-01");
  return evidence;
}

std::vector<std::string> texts_of(const Evidence& evidence) {
  std::vector<std::string> texts;
  for (const Sentence& flag : monitor_flags(evidence)) texts.push_back(flag.text());
  return texts;
}

TEST(MonitorFlags, are_none_where_nothing_was_read_or_all_of_it_agrees) {
  EXPECT_THAT(texts_of(evidence()), IsEmpty());
  Evidence agrees = evidence();
  agrees.story.monitor = {0.60, hours(24.0 * 58.0), Celsius(35.0), "2026-01-02"};
  EXPECT_THAT(texts_of(agrees), IsEmpty());
}

TEST(MonitorFlags, compare_the_charge_with_what_it_came_in_with) {
  Evidence apart = evidence();
  apart.story.monitor.soc = 0.85;
  EXPECT_THAT(texts_of(apart), ElementsAre(HasSubstr("reported 85 % of charge, the bench found 50 %")));
}

TEST(MonitorFlags, compare_the_temperature_by_more_than_an_engine_bay_explains) {
  Evidence apart = evidence();
  apart.story.monitor.battery = Celsius(-40.0);
  EXPECT_THAT(texts_of(apart), ElementsAre(HasSubstr("look at the monitor's own sensor")));
}

TEST(MonitorFlags, tell_a_change_that_the_vehicle_did_not_take) {
  Evidence apart = evidence();
  apart.story.monitor.age = hours(24.0 * 200.0);
  apart.story.monitor.reset_on = "2026-02-20";
  EXPECT_THAT(texts_of(apart),
              ElementsAre(HasSubstr("counts 200 days, but was told of a change only 9 days ago")));
}

TEST(MonitorFlags, tell_days_and_a_change_that_belong_to_an_earlier_battery) {
  Evidence apart = evidence();
  apart.story.monitor.age = hours(24.0 * 900.0);
  EXPECT_THAT(texts_of(apart), ElementsAre(HasSubstr("it was not told of the change")));
  apart.story.monitor = {};
  apart.story.monitor.reset_on = "2023-06-01";
  EXPECT_THAT(texts_of(apart), ElementsAre(HasSubstr("before this battery was made (2025-05)")));
}

}  // namespace
}  // namespace leadwright
