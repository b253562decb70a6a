// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "tests/web/fake_bench.h"
#include "tools/client/amount.h"
#include "tools/client/call.h"
#include "tools/client/event_reader.h"
#include "tools/client/place_commands.h"
#include "tools/client/run_commands.h"
#include "tools/client/show.h"
#include "tools/client/table.h"
#include "tools/client/ticket_commands.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

TEST(Amount, is_read_with_its_unit_and_without) {
  const AmountOption cca{"--cca", "A"};
  EXPECT_EQ(amount_of("640 A", cca).value(), 640.0);
  EXPECT_EQ(amount_of("640A", cca).value(), 640.0);
  EXPECT_EQ(amount_of("640.5", cca).value(), 640.5);
}

TEST(Amount, is_refused_in_another_unit_with_a_comma_or_without_an_end) {
  const AmountOption cca{"--cca", "A"};
  for (const auto* text : {"640 V", "640,5 A", "many", "", "inf", "nan", "1e999", "640 A A"}) {
    EXPECT_FALSE(amount_of(text, cca)) << text;
  }
  EXPECT_EQ(amount_of("640 V", cca).error().where, "--cca");
}

TEST(DropOff, becomes_the_body_that_the_api_takes) {
  TicketAddOptions options;
  options.serial = "EX-1";
  options.chemistry = "agm";
  options.cells = 6;
  options.reserve_capacity = "110 min";
  options.reserve_capacity_standard = "sae";
  options.signs = {"swollen"};
  options.procedures = {"reserve capacity"};
  EXPECT_EQ(drop_off_body(options).value(),
            R"({"battery":{"serial":"EX-1","chemistry":"agm","cells":6,"reserve_capacity_min":1.1E2,)"
            R"("reserve_capacity_standard":"sae"},"story":{},"inspection":{"swollen":true},)"
            R"("procedures":["reserve capacity"]})");
}

TEST(DropOff, refuses_a_file_together_with_a_label_and_a_missing_file) {
  TicketAddOptions options;
  options.file = "/nowhere/battery.json";
  EXPECT_EQ(drop_off_body(options).error().code, Errc::not_found);
  options.serial = "EX-1";
  EXPECT_EQ(drop_off_body(options).error().code, Errc::bad_input);
}

TEST(Events, are_whole_whatever_the_pieces) {
  const std::string stream =
      ": hello\nretry: 1000\n\nid: 1\nevent: bench\ndata: {\"a\":\ndata: 1}\n\r\ndata:x\n\n";
  for (std::size_t size = 1; size <= stream.size(); ++size) {
    EventReader reader;
    std::vector<std::string> seen;
    for (std::size_t start = 0; start < stream.size(); start += size) {
      reader.feed(stream.substr(start, size), [&](const HttpEvent& event) {
        seen.push_back(std::string(event.name) + "|" + std::string(event.data));
      });
    }
    EXPECT_EQ(seen, (std::vector<std::string>{"bench|{\"a\":\n1}", "message|x"})) << size;
  }
}

TEST(Table, aligns_columns_by_characters_and_takes_no_control_characters) {
  EXPECT_EQ(table({{"A", "B"}, {"\xC3\xA9t\xC3\xA9", "x"}, {"", "y\x1b[31m"}}),
            "A    B\n\xC3\xA9t\xC3\xA9  x\n     y?[31m\n");
}

TEST(Decimal, has_no_minus_before_zero) {
  EXPECT_EQ(decimal(-0.001, 2), "0.00");
  EXPECT_EQ(decimal(-0.01, 2), "-0.01");
  EXPECT_EQ(decimal(12.34, 1), "12.3");
}

TEST(Duration, is_short) {
  EXPECT_EQ(short_duration(40.4), "40 s");
  EXPECT_EQ(short_duration(720), "12 min");
  EXPECT_EQ(short_duration(5040), "1 h 24 min");
  EXPECT_EQ(short_duration(-1), "");
}

TEST(Show, gives_a_ticket_with_its_findings_and_grade) {
  const std::string text = show_ticket(
      R"({"ticket":{"ticket":"T-000001-3","state":"graded","story":{"complaint":"slow"}},)"
      R"("battery":{"serial":"EX-1"},"runs":[],"findings":[{"measurand":"ocv_v","value":12.6,"u":0.01,)"
      R"("run":"R-000001","conditions":"rested","budget":[{"quantity":"voltmeter","value":"12.600 V",)"
      R"("u_input":"8.9 mV","sensitivity":"1 V/V","u":0.0089,"share":1.0}]}],)"
      R"("faults":[],"grade":{"letter":"B","reason":"It is sound.","rules":[{"text":"ocv: conforms"}],)"
      R"("disposition":"Give it back.","next_procedure":"half-CCA load test","next_why":"It costs minutes.",)"
      R"("flags":["The receipt was shown before."],"warranty":"3 months in service."}})");
  for (const auto* part :
       {"T-000001-3", "slow", "EX-1", "ocv_v", "12.6", "GRADE B: It is sound.", "ocv: conforms",
        "what to do: Give it back.", "next: half-CCA load test. It costs minutes.",
        "look at this first: The receipt was shown before.", "warranty: 3 months in service.",
        "BUDGET OF ocv_v", "8.9 mV", "1 V/V"}) {
    EXPECT_THAT(text, HasSubstr(part));
  }
}

TEST(Show, gives_what_it_cannot_read_as_it_is) {
  EXPECT_EQ(show_tickets("<html>"), "<html>\n");
  EXPECT_EQ(show_ticket("[]"), "[]\n");
}

TEST(Trace, becomes_csv_with_a_unit_in_each_heading_and_nothing_for_what_is_missing) {
  EXPECT_EQ(trace_csv(R"({"run":"R-000001","every":1,"samples":[)"
                      R"({"t_s":0,"step":0,"volts_v":12.5,"amps_a":-1.25E-3,"case_degc":null},)"
                      R"({"t_s":0.5,"step":1,"volts_v":null,"amps_a":25,"case_degc":24.1}]})")
                .value(),
            "t_s,step,volts_v,amps_a,case_degc\n0,0,12.5,-0.00125,\n0.5,1,,25,24.1\n");
  EXPECT_FALSE(trace_csv("{}"));
  EXPECT_FALSE(trace_csv("<html>"));
}

TEST(Trace, is_written_to_a_file_that_can_be_made_and_asks_for_every_sample) {
  FakeBench bench;
  bench.service.answer_with({200, R"({"run":"R-000001","every":1,"samples":[]})"});
  ClientOptions client;
  client.url = bench.web().url();
  const std::string file = testing::TempDir() + "leadwright_trace_test.csv";
  EXPECT_EQ(run_trace(client, {"R-000001", file}), ExitCode::ok);
  EXPECT_EQ(bench.service.seen().back().body, R"({"every":"1"})");
  std::string written;
  std::getline(std::ifstream(file), written);
  EXPECT_EQ(written, "t_s,step,volts_v,amps_a,case_degc");
  EXPECT_EQ(run_trace(client, {"R-000001", "/nowhere/trace.csv"}), ExitCode::io);
  std::filesystem::remove(file);
}

TEST(Call, names_the_actor_and_encodes_the_place) {
  FakeBench bench;
  ClientOptions client;
  client.url = bench.web().url();
  client.actor = "\xC3\x89va 100%";
  client.json = true;
  PlaceOptions options;
  options.place = "bay 1/a";
  options.why = "smells";
  // A slash can't be part of one segment, so it has to arrive encoded.
  EXPECT_EQ(place_stop(client, options), ExitCode::ok);
  ASSERT_EQ(bench.service.seen().size(), 1U);
  const auto request = bench.service.seen().front();
  EXPECT_EQ(request.verb, "place.stop");
  EXPECT_EQ(request.subject, "bay 1/a");
  EXPECT_EQ(request.actor, "\xC3\x89va 100%");
  EXPECT_EQ(request.body, R"({"why":"smells"})");
}

TEST(Call, turns_problems_into_exit_codes) {
  struct Row {
    int status;
    std::string title;
    ExitCode code;
  };
  FakeBench bench;
  ClientOptions client;
  client.url = bench.web().url();
  for (const auto& row :
       {Row{400, "bad_input", ExitCode::bad_data}, Row{404, "not_found", ExitCode::no_input},
        Row{409, "conflict", ExitCode::try_again}, Row{409, "refused", ExitCode::not_permitted},
        Row{503, "busy", ExitCode::try_again}, Row{500, "bug", ExitCode::bug}}) {
    bench.service.answer_with(
        {row.status, R"({"title":")" + row.title + R"(","detail":"d","where":"w","mend":"m"})"});
    EXPECT_EQ(place_list(client), row.code) << row.status << row.title;
  }
}

TEST(Call, prints_what_where_and_how_to_mend) {
  testing::internal::CaptureStderr();
  EXPECT_EQ(report({}, {Errc::refused, "lithium is never energised", "T-1", "keep it on a shelf"}),
            ExitCode::not_permitted);
  EXPECT_EQ(testing::internal::GetCapturedStderr(),
            "leadwright: lithium is never energised: T-1: keep it on a shelf\n");
}

TEST(Call, finds_the_daemon_by_its_url_file) {
  const auto folder = std::filesystem::path(testing::TempDir()) / "leadwright_url_test";
  std::filesystem::create_directories(folder);
  std::ofstream(folder / "url") << "http://127.0.0.1:4711\n";
  ClientOptions client;
  client.state = folder.string();
  EXPECT_EQ(bench_url(client), "http://127.0.0.1:4711");
  client.url = "http://localhost:1";
  EXPECT_EQ(bench_url(client), "http://localhost:1");
  std::filesystem::remove_all(folder);
}

TEST(Call, says_that_no_daemon_answers) {
  ClientOptions client;
  client.url = "http://127.0.0.1:1";
  EXPECT_EQ(place_list(client), ExitCode::unavailable);
  client.url = "127.0.0.1:1";
  EXPECT_EQ(place_list(client), ExitCode::bad_data);
}

}  // namespace
}  // namespace leadwright
