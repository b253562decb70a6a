// SPDX-License-Identifier: Apache-2.0
#include "tools/client/supervision_commands.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/web/fake_bench.h"
#include "tools/client/show_instruments.h"
#include "tools/client/trace_view.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

constexpr const char* ready =
    R"({"name":"bay-1.load","place":"bay-1","role":"load","profile":"generic load",)"
    R"("link":"tcp:192.0.2.7:5025",)"
    R"("state":"ready","since":"2026-01-01T00:00:05Z","off_within_s":0.6,"traced":true,)"
    R"("identity":{"maker":"Example","model":"L1","serial":"EX-7","firmware":"1.0"},)"
    R"("counters":{"exchanges":18234,"retries":3,"time_outs":2,"garbles":1,"reopenings":4},)"
    R"("replies":{"count":9,"p50_s":0.0181,"p50_from_s":0.0128,"p50_to_s":0.0256,"p99_s":0.0254,)"
    R"("p99_from_s":0.0128,"p99_to_s":0.0256,"worst_s":0.0311},"trouble":null})";
constexpr const char* lost =
    R"({"name":"bay-1.charger","place":"bay-1","role":"charger","profile":"generic supply",)"
    R"("link":"memory:x",)"
    R"("state":"lost","since":"2026-01-01T00:00:09Z","off_within_s":0,"traced":false,"identity":null,)"
    R"("counters":{"exchanges":0,"retries":0,"time_outs":0,"garbles":0,"reopenings":0},)"
    R"("replies":{"count":0,"p50_s":null,"p50_from_s":null,"p50_to_s":null,"p99_s":null,"p99_from_s":null,)"
    R"("p99_to_s":null,"worst_s":null},"trouble":{"at":"2026-01-01T00:00:10Z","what":"no such device"}})";

std::string trace_of(const std::string& on, int oldest, int newest, const std::string& lines) {
  return R"({"instrument":"bay-1.load","link":"memory:x","on":)" + on + R"(,"oldest":)" +
         std::to_string(oldest) + R"(,"newest":)" + std::to_string(newest) + R"(,"lines":[)" + lines + "]}";
}

constexpr const char* three_lines =
    R"({"number":1,"at":"2026-01-01T00:00:00Z","machine_s":0.0,"way":"note","text":"trace on by ana",)"
    R"("hex":null,"length":15},)"
    R"({"number":2,"at":"2026-01-01T00:00:01Z","machine_s":1.25,"way":"out","text":"*IDN?\\n","hex":null,)"
    R"("length":6},)"
    R"({"number":3,"at":"2026-01-01T00:00:01Z","machine_s":1.260001,"way":"in","text":null,"hex":"01 03",)"
    R"("length":2})";

TEST(ShowInstruments, has_one_line_for_each_with_its_figures) {
  const std::string text = show_instruments("[" + std::string(ready) + "," + lost + "]");
  EXPECT_THAT(text,
              AllOf(HasSubstr("INSTRUMENT     STATE  SINCE"), HasSubstr("bay-1.load     ready  2026"),
                    HasSubstr("18234  3      2     1        4             18.1    25.4    31.1      on")));
  EXPECT_THAT(text, HasSubstr("off    no such device\n"));
  EXPECT_EQ(show_instruments("[]"), "no instrument\n");
  EXPECT_EQ(show_instruments("<html>"), "<html>\n");
}

TEST(ShowInstruments, gives_all_of_one_and_leaves_out_what_is_not_known) {
  const std::string text = show_instrument(ready);
  for (const char* part :
       {"profile               generic load", "link                  tcp:192.0.2.7:5025",
        "serial                EX-7", "time_outs             2",
        "half answered within  18.1 ms, between 12.8 and 25.6 ms", "slowest answer        31.1 ms",
        "off goes out          600.0 ms at the most", "byte trace            on"}) {
    EXPECT_THAT(text, HasSubstr(part));
  }
  EXPECT_THAT(text, Not(HasSubstr("trouble")));
  EXPECT_THAT(show_instrument(lost),
              AllOf(Not(HasSubstr("maker")), Not(HasSubstr("answered within")),
                    HasSubstr("off goes out  at once\n"), HasSubstr("last trouble  no such device")));
}

TEST(Trace, is_one_line_of_text_for_each_line_with_its_way) {
  TraceView view;
  const auto text = view.take(trace_of("true", 1, 3, three_lines));
  ASSERT_TRUE(text) << text.error().line();
  EXPECT_EQ(*text,
            "2026-01-01T00:00:00Z  0.000000  *  trace on by ana\n"
            "2026-01-01T00:00:01Z  1.250000  >  *IDN?\\n\n"
            "2026-01-01T00:00:01Z  1.260001  <  01 03\n");
  EXPECT_TRUE(view.is_on());
  EXPECT_EQ(view.newest(), 3U);
}

TEST(Trace, says_nothing_where_nothing_is_new_and_how_much_was_lost) {
  TraceView view;
  ASSERT_TRUE(view.take(trace_of("true", 1, 3, three_lines)));
  EXPECT_EQ(view.take(trace_of("true", 1, 3, "")).value(), "");
  EXPECT_EQ(view.take(trace_of("false", 10, 9, "")).value(), "6 lines came and went in between\n");
  EXPECT_FALSE(view.is_on());
  EXPECT_EQ(view.take("[]").error().code, Errc::garbled);
}

class Supervision : public testing::Test {
 protected:
  void SetUp() override {
    client.url = bench.web().url();
    client.actor = "ana";
  }
  ExitCode trace(const std::string& what) {
    testing::internal::CaptureStdout();
    const ExitCode code = instrument_trace(client, {"bay 1.load", what});
    printed = testing::internal::GetCapturedStdout();
    return code;
  }
  FakeBench bench;
  ClientOptions client;
  std::string printed;
};

TEST_F(Supervision, switches_a_trace_in_the_name_of_its_actor) {
  for (const std::string on : {"true", "false"}) {
    EXPECT_EQ(trace(on == "true" ? "on" : "off"), ExitCode::ok);
    const Request asked = bench.service.seen().back();
    EXPECT_EQ(asked.verb, "instrument.trace.set");
    EXPECT_EQ(asked.subject, "bay 1.load");
    EXPECT_EQ(asked.actor, "ana");
    EXPECT_EQ(asked.body, R"({"on":)" + on + "}");
  }
  bench.service.answer_with({200, ready});
  EXPECT_EQ(trace("on"), ExitCode::ok);
  EXPECT_EQ(printed, "the trace of tcp:192.0.2.7:5025 is on\n");
}

TEST_F(Supervision, prints_what_a_trace_holds) {
  bench.service.answer_with({200, trace_of("true", 1, 3, three_lines)});
  EXPECT_EQ(trace("show"), ExitCode::ok);
  EXPECT_THAT(printed, HasSubstr("1.250000  >  *IDN?\\n\n"));
  bench.service.answer_with({200, trace_of("false", 0, 0, "")});
  EXPECT_EQ(trace("show"), ExitCode::ok);
  EXPECT_EQ(printed, "the trace is off and empty\n");
}

TEST_F(Supervision, watching_a_trace_that_is_off_prints_what_it_holds_and_says_so) {
  bench.web().publish("{}");
  bench.service.answer_with({200, trace_of("false", 1, 3, three_lines)});
  testing::internal::CaptureStderr();
  EXPECT_EQ(trace("watch"), ExitCode::try_again);
  EXPECT_THAT(testing::internal::GetCapturedStderr(), HasSubstr("the trace is off: bay 1.load"));
  EXPECT_THAT(printed, HasSubstr("*IDN?"));
  EXPECT_EQ(bench.service.seen().back().body, R"({"after":"0"})");
}

TEST_F(Supervision, watching_reads_on_where_it_ended_until_the_trace_is_switched_off) {
  // The first answer is followed by an event, at which the watch looks again.
  bench.service.answer_in_turn(
      {{200, trace_of("true", 1, 3, three_lines)}, {200, trace_of("false", 1, 3, "")}},
      [this] { bench.web().publish("{}"); });
  bench.web().publish("{}");
  EXPECT_EQ(trace("watch"), ExitCode::ok);
  EXPECT_EQ(printed,
            "2026-01-01T00:00:00Z  0.000000  *  trace on by ana\n"
            "2026-01-01T00:00:01Z  1.250000  >  *IDN?\\n\n"
            "2026-01-01T00:00:01Z  1.260001  <  01 03\n");
  EXPECT_EQ(bench.service.seen().back().body, R"({"after":"3"})");
}

}  // namespace
}  // namespace leadwright
