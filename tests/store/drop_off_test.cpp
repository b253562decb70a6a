// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/drop_off.h"

#include <gmock/gmock.h>

namespace leadwright {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;

const std::vector<std::string> known{"intake check", "reserve capacity"};

std::vector<std::string> mistakes(std::string_view json) {
  const auto read = read_drop_off(json, known);
  std::vector<std::string> lines;
  if (read) return lines;
  for (const Error& error : read.error()) {
    EXPECT_EQ(error.code, Errc::bad_input);
    lines.push_back(error.line());
  }
  return lines;
}

/// A drop-off whose battery has these members beside serial, chemistry and cells.
std::vector<std::string> label_mistakes(const std::string& members) {
  return mistakes(R"({"battery":{"serial":"A1","chemistry":"agm","cells":6,)" + members + "}}");
}

TEST(DropOff, reads_everything_that_a_counter_may_say) {
  const auto read = read_drop_off(R"({
    "battery": {"serial": " A1 ", "chemistry": "flooded", "cells": 6, "cca_a": 640, "cca_standard": "en",
      "reserve_capacity_min": 110.5, "reserve_capacity_standard": "sae", "c20_ah": 65, "size_code": "H6",
      "manufactured_on": "2024-03"},
    "story": {"complaint": "slow", "sold_on": "2025-02-03", "monitor_report": "replace",
      "monitor": {"soc_1": 0.82, "age_days": 640, "battery_degc": 21.5, "reset_on": "2024-03-20"}},
    "inspection": {"cracked": false, "leaking": true, "electrolyte_low": true, "weight_kg": 16.4,
      "remarks": "wet"},
    "procedures": ["reserve capacity"], "promised_at": "2026-03-03T16:00:00Z"})",
                                  known);
  ASSERT_TRUE(read) << read.error().front().line();
  EXPECT_EQ(read->serial, "A1");
  EXPECT_EQ(read->nameplate.chemistry, Chemistry::flooded);
  EXPECT_EQ(read->nameplate.cells, 6);
  EXPECT_EQ(read->nameplate.cca->value, Ampere(640.0));
  EXPECT_EQ(read->nameplate.cca->standard, RatingStandard::en);
  EXPECT_EQ(read->nameplate.reserve_capacity->value, minutes(110.5));
  EXPECT_EQ(read->nameplate.reserve_capacity->standard, RatingStandard::sae);
  EXPECT_EQ(read->nameplate.c20->value, ampere_hours(65.0));
  EXPECT_EQ(read->nameplate.c20->standard, RatingStandard::unknown);
  EXPECT_EQ(read->nameplate.manufactured_on, "2024-03");
  EXPECT_EQ(read->story.sold_on, "2025-02-03");
  const VehicleMonitor monitor{0.82, hours(24.0 * 640.0), Celsius(21.5), "2024-03-20"};
  EXPECT_EQ(read->story.monitor, monitor);
  EXPECT_TRUE(read->inspection.leaking);
  EXPECT_FALSE(read->inspection.swollen);
  EXPECT_EQ(read->inspection.remarks, "wet");
  EXPECT_TRUE(read->inspection.electrolyte_low);
  EXPECT_FALSE(read->inspection.vents_blocked);
  EXPECT_EQ(read->inspection.weight_kg, 16.4);
  EXPECT_EQ(read->promised_at->rfc3339(), "2026-03-03T16:00:00Z");
  EXPECT_THAT(read->procedures, ElementsAre("reserve capacity"));
}

TEST(DropOff, names_every_number_of_a_monitor_that_cant_be_right) {
  const auto lines = mistakes(R"({"battery":{"serial":"x","chemistry":"agm","cells":6},
    "story":{"monitor":{"soc_1":82,"age_days":-1,"reset_on":"2024-03","volts":12}}})");
  EXPECT_THAT(lines, ElementsAre(HasSubstr("story.monitor.soc_1: 82 can't be right"),
                                 HasSubstr("story.monitor.age_days: -1 can't be right"),
                                 HasSubstr("story.monitor.reset_on: \"2024-03\" is no day"),
                                 HasSubstr("story.monitor.volts: unknown key")));
}

TEST(Inspection, what_is_left_out_stays_as_it_was) {
  Inspection before;
  before.cracked = before.vents_blocked = true;
  before.remarks = "wet";
  before.plus_at = "left";
  const auto seen = parse_inspection(R"({"vents_blocked":false,"weight_kg":16,"post":"stud"})", before);
  ASSERT_TRUE(seen);
  EXPECT_TRUE(seen->cracked);
  EXPECT_FALSE(seen->vents_blocked);
  EXPECT_EQ(seen->remarks, "wet");
  EXPECT_EQ(seen->plus_at, "left");
  EXPECT_EQ(seen->post, "stud");
  EXPECT_EQ(seen->weight_kg, 16.0);
  EXPECT_FALSE(parse_inspection(R"({"plus":"left"})", {}));
  EXPECT_FALSE(parse_inspection("[]", {}));
}

TEST(DropOff, refuses_a_weight_that_no_battery_has_and_a_promise_that_is_no_time) {
  const std::string battery = R"({"battery":{"serial":"A1","chemistry":"agm","cells":6},)";
  for (const char* weight : {"0", "-3", "101"}) {
    EXPECT_THAT(mistakes(battery + R"("inspection":{"weight_kg":)" + weight + "}}"),
                ElementsAre(HasSubstr("inspection.weight_kg: ")))
        << weight;
  }
  EXPECT_THAT(mistakes(battery + R"("promised_at":"tomorrow"})"),
              ElementsAre(HasSubstr("promised_at: \"tomorrow\" is no time")));
}

TEST(DropOff, reads_a_hydrometer_cell_by_cell_and_leaves_out_what_was_not_read) {
  const auto read = read_drop_off(
      R"({"battery":{"serial":"x","chemistry":"flooded","cells":6},
          "inspection":{"acid":{"gravity":[1.265,null,1.19],"acid_degc":21.5}}})");
  ASSERT_TRUE(read) << read.error().front().line();
  ASSERT_TRUE(read->inspection.acid);
  EXPECT_THAT(read->inspection.acid->gravity,
              ElementsAre(SpecificGravity{1.265}, std::nullopt, SpecificGravity{1.19}));
  EXPECT_EQ(read->inspection.acid->acid, Celsius(21.5));
}

TEST(DropOff, refuses_acid_that_cant_be_right_and_acid_of_a_sealed_battery) {
  const auto acid = [](const std::string& chemistry, const std::string& members) {
    return mistakes(R"({"battery":{"serial":"x","chemistry":")" + chemistry +
                    R"(","cells":3},"inspection":{"acid":{)" + members + "}}}");
  };
  EXPECT_THAT(acid("flooded", R"("gravity":[1.26])"),
              ElementsAre(HasSubstr("inspection.acid.acid_degc: missing")));
  EXPECT_THAT(acid("flooded", R"("gravity":[1265],"acid_degc":20)"),
              ElementsAre(HasSubstr("1265 is no acid's specific gravity: write it as 1.265")));
  EXPECT_THAT(acid("flooded", R"("gravity":[null],"acid_degc":20)"),
              ElementsAre(HasSubstr("no cell was read")));
  EXPECT_THAT(acid("flooded", R"("gravity":["1.26"],"acid_degc":20)"),
              Contains(HasSubstr("inspection.acid.gravity: not a list of numbers")));
  EXPECT_THAT(acid("flooded", R"("gravity":[1.26,1.26,1.26,1.26],"acid_degc":20)"),
              ElementsAre(HasSubstr("4 cells were read of a battery of 3")));
  EXPECT_THAT(acid("agm", R"("gravity":[1.26],"acid_degc":20)"),
              ElementsAre(AllOf(HasSubstr("its cells are never opened"),
                                HasSubstr("leave the hydrometer's readings out"))));
  EXPECT_THAT(acid("flooded", R"("gravity":[1.26],"acid_degc":20,"degf":68)"),
              ElementsAre(HasSubstr("inspection.acid.degf: unknown key")));
}

TEST(DropOff, makes_the_month_of_a_date_code_that_means_one) {
  const Utc today = *Utc::parse_from_month("2026-06-15");
  const auto dated = [&](const std::string& code, const std::string& story) {
    auto read = read_drop_off(R"({"battery":{"serial":"x","chemistry":"agm","cells":6,"date_code":")" + code +
                              R"("},"story":{)" + story + "}}");
    EXPECT_TRUE(read);
    DropOff drop = read.value_or(DropOff{});
    const Result<void> done = read_date_code(drop, today);
    return done ? drop.nameplate.manufactured_on : done.error().line();
  };
  EXPECT_EQ(dated("C24", ""), "2024-03");
  EXPECT_THAT(dated("C4", ""), HasSubstr("may mean 2024-03, 2014-03"));
  EXPECT_EQ(dated("C4", R"("sold_on":"2016-02-01")"), "2014-03") << "it was sold before the later one";
  EXPECT_THAT(dated("??", ""), HasSubstr("no date code that can be read"));
  EXPECT_THAT(label_mistakes(R"("date_code":"C24","manufactured_on":"2024-03")"),
              ElementsAre(HasSubstr("leave one of the two out")));
}

TEST(DropOff, takes_null_for_absent) {
  EXPECT_THAT(label_mistakes(R"("cca_a":null,"cca_standard":null,"size_code":null)"), ElementsAre());
}

TEST(DropOff, takes_an_unknown_chemistry_for_a_battery_that_is_never_energised) {
  const auto read = read_drop_off(R"({"battery":{"serial":"x","chemistry":"unknown","cells":6}})");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->nameplate.chemistry, Chemistry::unknown);
}

TEST(DropOff, demands_serial_chemistry_and_cells) {
  const auto lines = mistakes(R"({"battery":{}})");
  ASSERT_EQ(lines.size(), 3U);
  EXPECT_THAT(lines, Contains(HasSubstr("battery.serial: missing")));
  EXPECT_THAT(lines, Contains(HasSubstr("battery.chemistry: missing")));
  EXPECT_THAT(lines, Contains(HasSubstr("battery.cells: missing")));
}

TEST(DropOff, demands_a_battery) {
  EXPECT_THAT(mistakes("{}"), ElementsAre(HasSubstr("battery: missing")));
}

TEST(DropOff, names_an_unknown_key_with_a_near_match) {
  EXPECT_THAT(label_mistakes(R"("reserve_capcity_min":90)"),
              ElementsAre(HasSubstr("battery.reserve_capcity_min: unknown key: did you mean "
                                    "\"reserve_capacity_min\"?")));
  EXPECT_THAT(mistakes(R"({"battery":{"serial":"x","chemistry":"agm","cells":6},"storry":{}})"),
              ElementsAre(HasSubstr("storry: unknown key: did you mean \"story\"?")));
}

TEST(DropOff, names_a_key_without_its_unit) {
  EXPECT_THAT(label_mistakes(R"("cca":640)"), ElementsAre(HasSubstr("battery.cca: unknown key")));
}

TEST(DropOff, names_an_unknown_word_with_a_near_match) {
  EXPECT_THAT(mistakes(R"({"battery":{"serial":"x","chemistry":"floded","cells":6}})"),
              ElementsAre(HasSubstr("did you mean \"flooded\"?")));
  EXPECT_THAT(label_mistakes(R"("cca_a":600,"cca_standard":"DIN")"),
              ElementsAre(HasSubstr("unknown word \"DIN\": one of sae, en")));
}

TEST(DropOff, refuses_impossible_ratings_with_their_range) {
  EXPECT_THAT(label_mistakes(R"("cca_a":6400,"cca_standard":"en")"),
              ElementsAre(AllOf(HasSubstr("battery.cca_a"), HasSubstr("50 A to 2000 A"))));
  EXPECT_THAT(label_mistakes(R"("reserve_capacity_min":5,"reserve_capacity_standard":"sae")"),
              ElementsAre(AllOf(HasSubstr("battery.reserve_capacity_min"), HasSubstr("10 min to 600 min"))));
  EXPECT_THAT(label_mistakes(R"("c20_ah":-65)"),
              ElementsAre(AllOf(HasSubstr("battery.c20_ah"), HasSubstr("5 Ah to 300 Ah"))));
}

TEST(DropOff, refuses_a_rating_without_its_standard_and_the_reverse) {
  EXPECT_THAT(label_mistakes(R"("cca_a":640)"), ElementsAre(HasSubstr("battery.cca_standard: missing")));
  EXPECT_THAT(label_mistakes(R"("cca_standard":"en")"), ElementsAre(HasSubstr("without its rating cca_a")));
}

TEST(DropOff, refuses_cells_that_are_no_count) {
  for (const char* cells : {"5.5", "0", "-6", "1e300", "\"6\"", "7"}) {
    const auto lines =
        mistakes(R"({"battery":{"serial":"x","chemistry":"agm","cells":)" + std::string(cells) + "}}");
    EXPECT_THAT(lines, ElementsAre(HasSubstr("battery.cells: "))) << cells;
  }
}

TEST(DropOff, refuses_wrong_types) {
  EXPECT_THAT(label_mistakes(R"("c20_ah":"65 Ah")"), ElementsAre(HasSubstr("battery.c20_ah: not a number")));
  EXPECT_THAT(label_mistakes(R"("size_code":6)"), ElementsAre(HasSubstr("battery.size_code: not a text")));
  EXPECT_THAT(mistakes(R"({"battery":[]})"), ElementsAre(HasSubstr("battery: not an object")));
  EXPECT_THAT(
      mistakes(R"({"battery":{"serial":"x","chemistry":"agm","cells":6},"inspection":{"frozen":"no"}})"),
      ElementsAre(HasSubstr("inspection.frozen: neither true nor false")));
  EXPECT_THAT(mistakes(R"({"battery":{"serial":"x","chemistry":"agm","cells":6},"procedures":"all"})"),
              ElementsAre(HasSubstr("procedures: not a list of texts")));
}

TEST(DropOff, refuses_dates_that_are_none) {
  EXPECT_THAT(label_mistakes(R"("manufactured_on":"March 2024")"),
              ElementsAre(HasSubstr("battery.manufactured_on")));
  EXPECT_THAT(
      mistakes(R"({"battery":{"serial":"x","chemistry":"agm","cells":6},"story":{"sold_on":"2025-02-30"}})"),
      ElementsAre(HasSubstr("story.sold_on: \"2025-02-30\" is not a date")));
}

TEST(DropOff, refuses_a_procedure_that_nobody_has) {
  EXPECT_THAT(
      mistakes(R"({"battery":{"serial":"x","chemistry":"agm","cells":6},"procedures":["reserve capasity"]})"),
      ElementsAre(HasSubstr("did you mean \"reserve capacity\"?")));
}

TEST(DropOff, refuses_control_characters_and_overlong_texts) {
  EXPECT_THAT(mistakes(R"({"battery":{"serial":"a\u0000b","chemistry":"agm","cells":6}})"),
              ElementsAre(HasSubstr("battery.serial: has a control character")));
  EXPECT_THAT(
      mistakes(R"({"battery":{"serial":")" + std::string(65, 'a') + R"(","chemistry":"agm","cells":6}})"),
      ElementsAre(HasSubstr("at most 64 bytes")));
}

TEST(DropOff, refuses_what_is_no_json) {
  for (const char* text : {"", "{", "nonsense", "{\"battery\":\"\xff\"}"}) {
    EXPECT_THAT(mistakes(text), ElementsAre(HasSubstr("body: this is no JSON"))) << text;
  }
  EXPECT_THAT(mistakes("[]"), ElementsAre(HasSubstr("body: not a JSON object")));
}

TEST(DropOff, refuses_deep_nesting_without_harm) {
  EXPECT_THAT(mistakes(std::string(100'000, '[')), ElementsAre(HasSubstr("body: ")));
}

TEST(DropOff, puts_all_mistakes_into_one_error_where_one_is_wanted) {
  const auto read = parse_drop_off(R"({"battery":{"cells":5}})");
  ASSERT_FALSE(read);
  EXPECT_EQ(read.error().code, Errc::bad_input);
  EXPECT_THAT(read.error().what, HasSubstr("battery.serial: missing"));
  EXPECT_THAT(read.error().what, HasSubstr("battery.chemistry: missing"));
  EXPECT_THAT(read.error().what, HasSubstr("3 or 6 cells, not 5"));
  EXPECT_TRUE(parse_drop_off(R"({"battery":{"serial":"x","chemistry":"gel","cells":3}})"));
}

}  // namespace
}  // namespace leadwright
