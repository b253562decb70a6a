// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/fitting_json.h"

#include <gmock/gmock.h>

namespace leadwright {
namespace {

using ::testing::HasSubstr;

const Utc today = *Utc::parse("2026-01-20");

constexpr const char* whole = R"({
  "battery": {"chemistry": "agm", "cells": 6, "cca_a": 640, "cca_standard": "en", "c20_ah": 60,
    "size_code": "X2", "date_code": "C25"},
  "plus_at": "right", "post": "taper_large",
  "vehicle": {"chemistry": "efb", "cca_a": 600, "cca_standard": "en", "plus_at": "left"},
  "reading": {"ocv_v": 12.6, "battery_degc": -4.5, "stood_h": 30},
  "charger_a": 8,
  "after": {"monitor_age_days": 0, "monitor_soc_1": 0.9, "running_v": 14.1, "drain_a": 0.02}})";

std::string mistake(std::string_view json) {
  const auto read = parse_fitting(json, today);
  return read ? std::string() : read.error().what;
}

std::string mistake_in(const std::string& members) {
  return mistake(R"({"battery":{"chemistry":"agm","cells":6})" + members + "}");
}

TEST(FittingJson, refuses_a_ticket_without_its_number) {
  EXPECT_THAT(mistake(R"({"ticket":""})"), HasSubstr("ticket: "));
  EXPECT_EQ(mistake(R"({"ticket":"T-000001-9"})"), "");
}

TEST(FittingJson, reads_label_vehicle_reading_and_what_the_vehicle_shows_afterwards) {
  const auto read = parse_fitting(whole, today);
  ASSERT_TRUE(read) << read.error().line();
  const FittingQuestion& question = read->question;
  EXPECT_EQ(question.battery.nameplate.chemistry, Chemistry::agm);
  EXPECT_EQ(question.battery.nameplate.cca->value, Ampere(640.0));
  EXPECT_EQ(question.battery.plus_at, "right");
  EXPECT_EQ(question.battery.post, "taper_large");
  EXPECT_EQ(question.vehicle.nameplate.chemistry, Chemistry::efb);
  EXPECT_EQ(question.vehicle.nameplate.cells, 0);
  EXPECT_EQ(question.vehicle.plus_at, "left");
  EXPECT_EQ(question.reading->volts, Volt(12.6));
  EXPECT_EQ(question.reading->battery, Celsius(-4.5));
  EXPECT_EQ(question.reading->stood, hours(30.0));
  EXPECT_EQ(question.charger, Ampere(8.0));
  EXPECT_EQ(read->after.monitor_age, Second(0.0));
  EXPECT_EQ(read->after.running, Volt(14.1));
  EXPECT_EQ(read->after.drain, Ampere(0.02));
}

TEST(FittingJson, asks_for_one_battery_or_one_ticket) {
  EXPECT_THAT(mistake("{}"), HasSubstr("give either battery or ticket"));
  EXPECT_THAT(mistake_in(R"(,"ticket":"T-000001-3")"), HasSubstr("give either battery or ticket"));
  EXPECT_EQ(parse_fitting(R"({"ticket":"T-000001-3"})", today)->ticket, "T-000001-3");
  EXPECT_THAT(mistake("[]"), HasSubstr("this is no JSON object"));
}

TEST(FittingJson, refuses_what_is_not_understood_by_its_key) {
  EXPECT_THAT(mistake_in(R"(,"plus_at":"top")"), HasSubstr("plus_at"));
  EXPECT_THAT(mistake_in(R"(,"volts":12)"), HasSubstr("volts"));
  EXPECT_THAT(mistake_in(R"(,"reading":{"stood_h":3})"), HasSubstr("reading.ocv_v: missing"));
  EXPECT_THAT(mistake_in(R"(,"reading":{"ocv_v":1260})"), HasSubstr("reading.ocv_v: 1260 can't be right"));
  EXPECT_THAT(mistake_in(R"(,"after":{"monitor_soc_1":90})"), HasSubstr("after.monitor_soc_1"));
  EXPECT_THAT(mistake_in(R"(,"vehicle":{"cca_a":600})"), HasSubstr("vehicle.cca_standard: missing"));
  EXPECT_THAT(mistake_in(R"(,"vehicle":{"date_code":"K25"})"), HasSubstr("vehicle.date_code"));
  EXPECT_THAT(mistake_in(R"(,"charger_a":0)"), HasSubstr("charger_a"));
}

TEST(FittingJson, asks_about_a_date_code_that_means_several_months) {
  const auto read = parse_fitting(R"({"battery":{"chemistry":"agm","cells":6,"date_code":"C4"}})", today);
  ASSERT_FALSE(read);
  EXPECT_THAT(read.error().what, HasSubstr("may mean"));
}

TEST(FittingJson, answers_with_null_for_what_is_not_known) {
  FittingQuestion question;
  question.battery.nameplate.chemistry = Chemistry::agm;
  question.battery.nameplate.cells = 6;
  const FittingAnswer answer = fitting_answer(question, {}, today);
  const std::string json = fitting_json(answer, after_answer({}, {}, answer), {});
  EXPECT_THAT(json, HasSubstr(R"({"of":"voltage","outcome":"not_checked"})"));
  EXPECT_THAT(json, HasSubstr(R"("age":{"made":null,"months":null,"oldest_months":6,"is_old":false})"));
  EXPECT_THAT(json, HasSubstr(R"("charge":{"soc_1":null,"u_1":null,"soc_min_1":0.75,"needed_ah":null)"));
  EXPECT_THAT(json, HasSubstr(R"("verdict":"measure_first")"));
  EXPECT_THAT(json, HasSubstr(R"("after":{"monitor":null,"soc_apart_1":null,"running":null,"drain":null)"));
}

}  // namespace
}  // namespace leadwright
