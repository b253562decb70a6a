// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/json.h"

#include <gmock/gmock.h>

#include <boost/json/parse.hpp>
#include <limits>

#include "daemon/store/said_json.h"
#include "tests/store/store_world.h"

namespace leadwright {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

/// Read by an outside parser, so that a text that is no JSON fails.
boost::json::object parsed(const std::string& text) {
  return boost::json::parse(text).as_object();
}

TEST(Json, writes_numbers_as_the_shortest_text_that_reads_back) {
  EXPECT_EQ(json_number(12.6), "12.6");
  EXPECT_EQ(json_number(110.0), "110");
  EXPECT_EQ(json_number(-0.001), "-0.001");
  EXPECT_EQ(json_number(std::numeric_limits<double>::quiet_NaN()), "null");
  EXPECT_EQ(json_number(std::numeric_limits<double>::infinity()), "null");
}

TEST(Json, escapes_texts) {
  EXPECT_EQ(json_string("a\"b\\c\nd\x01"), "\"a\\\"b\\\\c\\nd\\u0001\"");
}

TEST(Json, writes_a_battery_with_units_in_its_keys) {
  EXPECT_EQ(
      to_json(example_battery()),
      "{\"battery\":\"" + shown(BatteryId{1}) +
          "\",\"serial\":\"SN-1\",\"chemistry\":\"efb\",\"cells\":6,\"cca_a\":640,\"cca_standard\":\"en\","
          "\"reserve_capacity_min\":110,\"reserve_capacity_standard\":\"sae\",\"c20_ah\":65,"
          "\"c20_standard\":\"unknown\",\"size_code\":\"H6\",\"manufactured_on\":\"2024-03\"}");
}

TEST(Json, writes_an_unstated_rating_as_null) {
  const auto plate = parsed(to_json(Nameplate{}));
  EXPECT_TRUE(plate.at("cca_a").is_null());
  EXPECT_TRUE(plate.at("cca_standard").is_null());
  EXPECT_TRUE(plate.at("reserve_capacity_min").is_null());
  EXPECT_TRUE(plate.at("c20_ah").is_null());
}

TEST(Json, writes_a_ticket_with_story_and_inspection) {
  const auto ticket = parsed(to_json(example_ticket()));
  EXPECT_EQ(ticket.at("ticket").as_string(), shown(TicketId{1}));
  EXPECT_EQ(ticket.at("state").as_string(), "waiting");
  EXPECT_EQ(ticket.at("received_at").as_string(), "2026-01-31T08:00:00Z");
  EXPECT_EQ(ticket.at("held_until").as_string(), "2026-02-01T08:00:00Z");
  EXPECT_TRUE(ticket.at("previous").is_null());
  EXPECT_TRUE(ticket.at("closing").is_null());
  EXPECT_EQ(ticket.at("story").at("complaint").as_string(), "won't crank; \"dead\"");
  EXPECT_TRUE(ticket.at("inspection").at("terminals_damaged").as_bool());
  EXPECT_FALSE(ticket.at("inspection").at("frozen").as_bool());
  EXPECT_EQ(ticket.at("inspection").at("remarks").as_string(), "schön verkratzt");
  EXPECT_EQ(ticket.at("procedures").as_array().size(), 2U);
}

TEST(Json, writes_a_finding_with_its_budget) {
  const auto finding = parsed(to_json(example_finding()));
  EXPECT_EQ(finding.at("measurand").as_string(), "reserve_capacity_min");
  EXPECT_EQ(finding.at("value").as_double(), example_finding().value);
  EXPECT_EQ(finding.at("budget").as_array().size(), 2U);
  EXPECT_EQ(finding.at("budget").at(1).at("quantity").as_string(), "timing");
}

TEST(Json, writes_a_fault_of_no_run_with_null) {
  EXPECT_TRUE(parsed(to_json(example_fault())).at("run").is_null());
}

TEST(Json, writes_run_grade_and_audit_entry) {
  const auto run = parsed(to_json(example_run()));
  EXPECT_EQ(run.at("run").as_string(), shown(RunId{1}));
  EXPECT_EQ(run.at("procedure_version").as_int64(), 3);
  EXPECT_TRUE(run.at("ended_at").is_null());
  EXPECT_EQ(run.at("consent").at("given_by").as_string(), "A. Owner");
  EXPECT_EQ(run.at("instruments").at(0).at("identity").as_string(), "MAKER LOAD 4711");
  EXPECT_TRUE(run.at("instruments").at(0).at("calibration_overdue").as_bool());
  EXPECT_TRUE(parsed(to_json(leadwright::Run{})).at("consent").is_null());
  const auto grade = parsed(to_json(example_grade()));
  EXPECT_EQ(grade.at("letter").as_string(), "B");
  ASSERT_EQ(grade.at("rules").as_array().size(), 2U);
  EXPECT_EQ(grade.at("rules").at(0).at("limit").to_number<double>(), 80.0);
  EXPECT_TRUE(grade.at("rules").at(1).at("limit").is_null());
  EXPECT_EQ(grade.at("next_procedure").as_string(), "reserve capacity");
  EXPECT_EQ(grade.at("flags").as_array().size(), 1U);
  EXPECT_EQ(parsed(to_json(example_audit())).at("what").as_string(), "ticket.move");
}

TEST(Json, reads_rules_back_and_those_of_the_first_schema_as_sentences) {
  const auto rules = rules_of(rules_json(example_grade().rules));
  ASSERT_TRUE(rules);
  ASSERT_EQ(rules->size(), 2U);
  EXPECT_EQ((*rules)[0].probability, 0.99);
  EXPECT_FALSE((*rules)[1].probability);
  const auto old = rules_of(R"(["limit of B: 80.0 min"])");
  ASSERT_TRUE(old);
  EXPECT_EQ((*old)[0].text, "limit of B: 80.0 min");
  EXPECT_FALSE(rules_of("[1]"));
}

TEST(Json, reads_phrases_back_as_they_were_said) {
  const std::string written = said_json(example_grade().said);
  const auto said = grade_said_of(written);
  ASSERT_TRUE(said) << said.error().line();
  EXPECT_EQ(said_json(*said), written);
  EXPECT_EQ(said->reason.at(0).values.at(0).text, "92");
  EXPECT_EQ(said->flags.at(0).at(0).values.at(0).text, "R \"7\"");
  const auto fault = stored_phrases_of(phrases_json(example_fault().said));
  ASSERT_TRUE(fault) << fault.error().line();
  EXPECT_EQ(fault->at(0).values.at(0).text, "10.6");
  EXPECT_TRUE(grade_said_of("{}")) << "of a grade that is older";
  for (const char* garbled : {"[]", R"({"reason":[]})", R"({"reason":[{"code":1}]})", "{"})
    EXPECT_FALSE(grade_said_of(garbled)) << garbled;
}

TEST(Json, writes_a_whole_ticket_page) {
  TicketPage page;
  page.battery = example_battery();
  page.ticket = example_ticket();
  page.runs = {example_run()};
  page.findings = {example_finding(), example_finding()};
  page.faults = {example_fault()};
  auto object = parsed(ticket_json(page));
  EXPECT_EQ(object.at("battery").at("serial").as_string(), "SN-1");
  EXPECT_EQ(object.at("findings").as_array().size(), 2U);
  EXPECT_EQ(object.at("faults").as_array().size(), 1U);
  EXPECT_EQ(object.at("runs").as_array().size(), 1U);
  EXPECT_TRUE(object.at("grade").is_null());
  page.grade = example_grade();
  EXPECT_EQ(parsed(ticket_json(page)).at("grade").at("letter").as_string(), "B");
}

TEST(Json, writes_a_trace_with_null_for_what_is_missing_and_every_nth_sample) {
  std::vector<Sample> samples(5);
  for (std::size_t i = 0; i < samples.size(); ++i) samples[i].at = Second{static_cast<double>(i) * 0.5};
  samples[0] = {Second{0.0}, 2, Volt{12.5}, Ampere{-1.25}, Celsius{24.5}};
  EXPECT_EQ(trace_json(RunId{1}, samples, 3),
            R"({"run":"R-000001","every":3,"samples":[)"
            R"({"t_s":0,"step":2,"volts_v":12.5,"amps_a":-1.25,"case_degc":24.5},)"
            R"({"t_s":1.5,"step":0,"volts_v":null,"amps_a":null,"case_degc":null}]})");
  EXPECT_EQ(trace_json(RunId{1}, {}, 1), R"({"run":"R-000001","every":1,"samples":[]})");
}

TEST(Json, thins_a_trace_no_more_than_it_must) {
  EXPECT_EQ(thinning(0, 10), 1U);
  EXPECT_EQ(thinning(10, 10), 1U);
  EXPECT_EQ(thinning(11, 10), 2U);
  EXPECT_EQ(thinning(21, 10), 3U);
}

TEST(Json, reads_back_the_lists_that_it_wrote) {
  const std::vector<std::string> texts{"a \"b\"", "", "ü"};
  EXPECT_EQ(strings_of(strings_json(texts)).value(), texts);
  const auto budget = budget_of(budget_json(example_finding().budget)).value();
  ASSERT_EQ(budget.size(), 2U);
  EXPECT_EQ(budget[1].u, 1.0 / 3.0);
  EXPECT_EQ(budget[0].u_input, "0.05 % rect.");
  EXPECT_THAT(strings_of("[]").value(), ElementsAre());
}

TEST(Json, refuses_a_stored_list_that_it_did_not_write) {
  for (const char* text : {"", "{}", "[1]", "[\"a\"", "null"}) EXPECT_FALSE(strings_of(text)) << text;
  for (const char* text : {"[{}]", "[\"a\"]", "[{\"quantity\":\"a\",\"u_input\":\"b\",\"u\":\"1\"}]"}) {
    EXPECT_EQ(budget_of(text).error().code, Errc::garbled) << text;
  }
}

}  // namespace
}  // namespace leadwright
