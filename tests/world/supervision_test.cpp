// SPDX-License-Identifier: Apache-2.0
// What the API says of instruments while their links break and come back, and the byte trace of a link.
#include <algorithm>
#include <boost/json.hpp>

#include "daemon/settings/log.h"
#include "tests/queue/exposition_checker.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::StartsWith;

constexpr const char* load_name = "bay-1.load";
/// The idle look at a place comes once a second, and an exchange may take the profile's time-out thrice.
constexpr Second noticed_within{3.0};
/// The longest pause between two attempts to connect, and the time to connect.
constexpr Second back_within{reconnect_period_max.si() + 2.0};

class Supervision : public WorldTest {
 protected:
  void SetUp() override {
    log_to([this](Level, std::string_view line) { log.emplace_back(line); });
    WorldOptions options;
    options.answer_after = Second(0.020);
    options.tap = [this](const std::string& link, bool, std::string_view bytes, Instant) {
      if (link == "memory:bay-1.load") other_tap.append(bytes);
    };
    make_world(std::move(options));
  }
  void TearDown() override { log_to({}); }

  boost::json::value get(const std::string& verb, const std::string& subject = {},
                         const std::string& body = {}) {
    const Response response = world->ask(verb, subject, body);
    EXPECT_EQ(response.status, 200) << response.body;
    return boost::json::parse(response.body);
  }
  boost::json::value load() { return get("instrument.show", load_name); }
  std::string state() { return text(load(), "state"); }
  static std::string text(const boost::json::value& from, std::string_view key) {
    return std::string(from.at(boost::json::string_view(key.data(), key.size())).as_string());
  }
  static std::uint64_t count(const boost::json::value& instrument, const char* key) {
    return instrument.at("counters").at(key).to_number<std::uint64_t>();
  }
  std::string now() { return world->clock().utc().rfc3339(); }

  MemoryLink& link() {
    return dynamic_cast<MemoryLink&>(world->bench().place(bay)->instruments().load()->link());
  }
  void switch_trace(bool on) {
    get("instrument.trace.set", load_name, on ? R"({"on":true})" : R"({"on":false})");
  }
  /// "out TEXT" of each line of the load's trace.
  std::vector<std::string> trace(const std::string& body = {}) {
    std::vector<std::string> lines;
    const auto answer = get("instrument.trace", load_name, body);
    for (const auto& line : answer.at("lines").as_array())
      lines.push_back(text(line, "way") + " " + text(line, "text"));
    return lines;
  }
  void begin_discharge() {
    bring("x", "cell:sound");
    carry("x", drop_off("S-1", "flooded", 6, "reserve capacity"), bay);
    ASSERT_EQ(world->start(bay).status, 202);
    ASSERT_TRUE(world->clock().run_until([this] { return terminals(bay).load_amps() > Ampere(24.0); },
                                         world->clock().now() + minutes(30.0)));
    world->clock().run_for(minutes(1.0));
  }

  std::vector<std::string> log;
  std::string other_tap;
};

TEST_F(Supervision, says_of_each_instrument_what_it_is_where_it_is_and_how_it_does) {
  const auto list = get("instrument.list").as_array();
  ASSERT_EQ(list.size(), 5U) << "load, charger and thermometer of the bay, two of the charging place";
  const auto instrument = load();
  EXPECT_EQ(list.front(), instrument);
  EXPECT_EQ(text(instrument, "place"), bay);
  EXPECT_EQ(text(instrument, "role"), "load");
  EXPECT_EQ(text(instrument, "profile"), "simulated load");
  EXPECT_EQ(text(instrument, "link"), "memory:bay-1.load");
  EXPECT_EQ(text(instrument, "state"), "ready");
  EXPECT_EQ(text(instrument.at("identity"), "model"), "simulated load");
  EXPECT_EQ(text(instrument.at("identity"), "firmware"), "sim-1");
  EXPECT_EQ(instrument.at("off_within_s").to_number<double>(), 0.0);
  EXPECT_FALSE(instrument.at("traced").as_bool());
  EXPECT_TRUE(instrument.at("trouble").is_null());
  EXPECT_GT(count(instrument, "exchanges"), 0U);
  EXPECT_EQ(count(instrument, "reopenings"), 0U);
}

TEST_F(Supervision, tells_how_long_answers_take_with_the_bounds_of_its_estimates) {
  const auto replies = load().at("replies");
  EXPECT_GT(replies.at("count").to_number<int>(), 0);
  EXPECT_NEAR(replies.at("worst_s").to_number<double>(), 0.020, 1e-6);
  for (const std::string percentile : {"p50", "p99"}) {
    EXPECT_DOUBLE_EQ(replies.at(percentile + "_from_s").to_number<double>(), 0.0128);
    EXPECT_NEAR(replies.at(percentile + "_to_s").to_number<double>(), 0.020, 1e-6);
    EXPECT_GT(replies.at(percentile + "_s").to_number<double>(), 0.0128);
  }
}

TEST_F(Supervision, an_unplugged_instrument_is_lost_since_then_and_ready_again_when_it_returns) {
  world->clock().run_for(minutes(1.0));
  link().unplug();
  const std::string unplugged_at = now();
  ASSERT_TRUE(
      world->clock().run_until([this] { return state() == "lost"; }, world->clock().now() + noticed_within));
  const std::string lost_at = text(load(), "since");
  EXPECT_GE(lost_at, unplugged_at);
  world->clock().run_for(minutes(1.0));
  EXPECT_EQ(state(), "lost") << "however often it was tried";
  EXPECT_EQ(text(load(), "since"), lost_at);
  EXPECT_THAT(text(load().at("trouble"), "what"), HasSubstr("no such device"));
  EXPECT_GT(text(load().at("trouble"), "at"), lost_at) << "of the last attempt";
  EXPECT_EQ(text(load().at("identity"), "model"), "simulated load") << "as it was";

  link().plug_in();
  const std::string plugged_at = now();
  ASSERT_TRUE(
      world->clock().run_until([this] { return state() == "ready"; }, world->clock().now() + back_within));
  EXPECT_GE(text(load(), "since"), plugged_at);
  EXPECT_GE(count(load(), "reopenings"), 1U);
  EXPECT_THAT(log, Contains(StartsWith("event=instrument.lost instrument=bay-1.load")));
  EXPECT_THAT(log, Contains(StartsWith("event=instrument.back instrument=bay-1.load")));
}

TEST_F(Supervision, each_instrument_of_an_idle_place_is_missed_when_it_is_gone) {
  for (Place* place : {world->bench().place(bay), world->bench().place(charging)}) {
    for (Instrument* each : place->instruments().all()) {
      world->clock().run_for(minutes(1.0));
      dynamic_cast<MemoryLink&>(each->link()).unplug(world->clock().now() + Second(20.0));
      const auto told = [this, each] { return text(get("instrument.show", each->name()), "state"); };
      EXPECT_TRUE(world->clock().run_until([&told] { return told() == "lost"; },
                                           world->clock().now() + noticed_within))
          << each->name();
      EXPECT_TRUE(world->clock().run_until([&told] { return told() == "ready"; },
                                           world->clock().now() + Second(20.0) + back_within))
          << each->name();
    }
  }
}

TEST_F(Supervision, instruments_that_go_together_are_all_missed) {
  world->clock().run_for(minutes(1.0));
  for (Instrument* each : world->bench().place(bay)->instruments().all()) {
    dynamic_cast<MemoryLink&>(each->link()).unplug(world->clock().now() + minutes(1.0));
  }
  world->clock().run_for(noticed_within);
  const auto list = get("instrument.list");
  for (const auto& each : list.as_array()) {
    EXPECT_EQ(text(each, "state"), text(each, "place") == bay ? "lost" : "ready") << text(each, "name");
  }
  world->clock().run_for(minutes(2.0));
  const auto later = get("instrument.list");
  for (const auto& each : later.as_array()) EXPECT_EQ(text(each, "state"), "ready");
}

TEST_F(Supervision, an_instrument_comes_back_by_the_states_in_their_order) {
  std::vector<std::string> seen{state()};
  link().unplug(world->clock().now() + Second(20.0));
  for (int i = 0; i < 30'000; ++i) {
    world->clock().run_for(Second(0.001));
    if (const std::string told = state(); told != seen.back()) seen.push_back(told);
  }
  EXPECT_EQ(seen, (std::vector<std::string>{"ready", "lost", "identified", "ready"}));
}

TEST_F(Supervision, asking_changes_nothing_of_what_is_told) {
  std::vector<std::string> seen{state() + text(load(), "since")};
  link().unplug();
  for (int i = 0; i < 400; ++i) {
    world->clock().run_for(Second(0.05));
    const std::string told = state() + text(load(), "since");
    if (seen.back() != told) seen.push_back(told);
  }
  EXPECT_EQ(seen.size(), 2U) << "ready, then lost";
}

TEST_F(Supervision, an_instrument_that_answers_no_more_is_degraded_and_its_questions_are_counted) {
  SimInstrument& sim = *world->sim().instrument(load_name);
  sim.set_fault(SimInstrument::Fault::no_answer, true);
  ASSERT_TRUE(world->clock().run_until([this] { return state() == "degraded"; },
                                       world->clock().now() + noticed_within));
  EXPECT_GE(count(load(), "time_outs"), 1U);
  EXPECT_GE(count(load(), "retries"), 1U);
  EXPECT_FALSE(text(load().at("trouble"), "what").empty());
  const std::string snapshot = world->bench().snapshot();
  EXPECT_THAT(snapshot, HasSubstr(R"("name":"bay-1.load","role":"load","state":"degraded","since":")"));
  sim.set_fault(SimInstrument::Fault::no_answer, false);
  ASSERT_TRUE(
      world->clock().run_until([this] { return state() == "ready"; }, world->clock().now() + back_within));
  EXPECT_FALSE(load().at("trouble").is_null()) << "what went wrong last stays readable";
  EXPECT_THAT(world->bench().snapshot(), HasSubstr(R"("name":"bay-1.load","role":"load","state":"ready")"));
}

TEST_F(Supervision, an_instrument_that_never_answered_is_closed_and_says_what_to_look_at) {
  world->sim().instrument(load_name)->set_fault(SimInstrument::Fault::no_answer, true);
  world->kill_and_restart();
  world->clock().run_for(minutes(1.0));
  world->clock().run_until([this] { return state() == "closed"; }, world->clock().now() + minutes(1.0));
  EXPECT_EQ(state(), "closed");
  EXPECT_TRUE(load().at("identity").is_null());
  EXPECT_THAT(text(load().at("trouble"), "what"), HasSubstr("nothing answered"));
  EXPECT_TRUE(load().at("replies").at("p50_s").is_null());
  EXPECT_TRUE(load().at("replies").at("worst_s").is_null());
}

TEST_F(Supervision, metrics_keep_to_the_exposition_format_and_tell_the_state) {
  bring("x", "cell:sound");
  drop_off("S-1");
  link().unplug();
  world->clock().run_for(minutes(1.0));
  const Response metrics = world->ask("metrics");
  EXPECT_THAT(ExpositionChecker::mistakes(metrics.body), IsEmpty());
  for (const char* part : {
           "leadwright_instrument_state{instrument=\"bay-1.load\",state=\"lost\"} 1\n",
           "leadwright_instrument_state{instrument=\"bay-1.load\",state=\"ready\"} 0\n",
           "leadwright_instrument_state{instrument=\"bay-1.charger\",state=\"ready\"} 1\n",
           "profile=\"simulated load\",link=\"memory:bay-1.load\"",
           "leadwright_link_reply_seconds_bucket{instrument=\"bay-1.load\",le=\"0.0256\"} ",
           "leadwright_link_off_within_seconds{instrument=\"bay-1.load\"} 0\n",
           "leadwright_link_trace_on{instrument=\"bay-1.load\"} 0\n",
           "leadwright_tickets{state=\"received\"} 1\n",
       }) {
    EXPECT_THAT(metrics.body, HasSubstr(part));
  }
}

TEST_F(Supervision, a_trace_is_off_until_it_is_asked_for_and_hears_from_then_on) {
  world->clock().run_for(Second(5.0));
  EXPECT_THAT(trace(), IsEmpty());
  switch_trace(true);
  world->clock().run_for(Second(2.5));
  EXPECT_THAT(trace(), Contains("note trace on by person P-1"));
  EXPECT_THAT(trace(), Contains(HasSubstr(";MEAS:VOLT?;:MEAS:CURR?;*ESE?\\n")));
  EXPECT_THAT(trace(), Contains(StartsWith("in 0.000;")));
  EXPECT_TRUE(load().at("traced").as_bool());
  EXPECT_FALSE(get("instrument.show", "bay-1.charger").at("traced").as_bool());
  switch_trace(false);
  const auto at_the_end = trace();
  EXPECT_EQ(at_the_end.back(), "note trace off by person P-1");
  world->clock().run_for(Second(5.0));
  EXPECT_EQ(trace(), at_the_end) << "silent, and still readable";
}

TEST_F(Supervision, a_trace_stamps_each_line_with_both_times_and_is_read_on_by_number) {
  switch_trace(true);
  world->clock().run_for(Second(1.5));
  const auto answer = get("instrument.trace", load_name);
  const auto& lines = answer.at("lines").as_array();
  const auto question =
      std::ranges::find_if(lines, [](const auto& line) { return text(line, "way") == "out"; });
  ASSERT_NE(question, lines.end());
  const auto& reply = *(question + 1);
  EXPECT_EQ(text(reply, "way"), "in");
  EXPECT_NEAR(reply.at("machine_s").to_number<double>() - question->at("machine_s").to_number<double>(),
              0.020, 1e-6);
  EXPECT_LE(text(*question, "at"), now());
  EXPECT_EQ(question->at("length").to_number<std::size_t>(),
            std::string("*ESE 101;MEAS:VOLT?;:MEAS:CURR?;*ESE?\n").size());
  const auto newest = answer.at("newest").to_number<std::uint64_t>();
  EXPECT_EQ(newest, lines.size());
  EXPECT_THAT(trace(R"({"after":")" + std::to_string(newest) + R"("})"), IsEmpty());
  EXPECT_EQ(trace(R"({"after":"1"})").size(), lines.size() - 1);
}

TEST_F(Supervision, a_trace_leaves_the_wire_log_of_a_rehearsal_as_it_was) {
  const auto run_until = [this](Second at) {
    world->clock().run_for(at - (world->clock().now() - Instant()));
  };
  std::string logs[2];
  for (const bool is_traced : {false, true}) {
    other_tap.clear();
    SetUp();
    run_until(Second(20.0));
    if (is_traced) switch_trace(true);
    run_until(Second(40.0));
    if (is_traced) switch_trace(false);
    run_until(Second(60.0));
    logs[is_traced ? 1 : 0] = other_tap;
  }
  EXPECT_GT(logs[0].size(), 1000U);
  EXPECT_EQ(logs[0], logs[1]);
}

TEST_F(Supervision, switching_a_trace_is_in_the_audit_with_its_actor) {
  switch_trace(true);
  switch_trace(false);
  std::vector<std::string> rows;
  for (const AuditEntry& entry : world->store().audit()) {
    if (entry.what == "instrument.trace") rows.push_back(entry.actor + " " + entry.subject + " " + entry.why);
  }
  EXPECT_EQ(rows, (std::vector<std::string>{"P-1 bay-1.load on", "P-1 bay-1.load off"}));
}

TEST_F(Supervision, a_trip_stands_in_the_trace_after_the_bytes_that_switch_off_and_goes_to_the_event_log) {
  switch_trace(true);
  begin_discharge();
  world->sim().instrument(load_name)->set_fault(SimInstrument::Fault::stuck_reading, true);
  ASSERT_TRUE(world->finish(bay, minutes(10.0)));
  world->clock().run_for(Second(2.0));
  const auto lines = trace();
  const auto trip = std::ranges::find_if(
      lines, [](const std::string& line) { return line.starts_with("note bay-1 tripped"); });
  ASSERT_NE(trip, lines.end());
  EXPECT_THAT(*trip, HasSubstr("frozen"));
  ASSERT_NE(trip, lines.begin());
  EXPECT_THAT(*(trip - 1), StartsWith("out INP OFF"));
  EXPECT_THAT(std::vector(trip, lines.end()), Contains(HasSubstr(";INP?;*ESE?"))) << "read back after it";
  const auto logged_trip = std::ranges::find_if(log, [](const std::string& line) {
    return line.starts_with("event=wire link=memory:bay-1.load") &&
           line.find("bay-1 tripped") != std::string::npos;
  });
  ASSERT_NE(logged_trip, log.end());
  EXPECT_THAT(*(logged_trip - 1), HasSubstr("way=out bytes=\"INP OFF"));
  EXPECT_THAT(std::vector(logged_trip, log.end()), Contains(HasSubstr(";INP?;*ESE?")));
}

TEST_F(Supervision, a_loss_stands_in_the_trace_and_goes_to_the_event_log_once) {
  switch_trace(true);
  world->clock().run_for(Second(5.0));
  link().unplug(world->clock().now() + Second(30.0));
  world->clock().run_for(minutes(2.0));
  EXPECT_THAT(trace(), Contains(StartsWith("note bay-1.load is lost: ")));
  EXPECT_THAT(trace(), Contains("note bay-1.load is ready"));
  const auto is_loss = [](const std::string& line) {
    return line.starts_with("event=wire") && line.find("is lost") != std::string::npos;
  };
  EXPECT_EQ(std::ranges::count_if(log, is_loss), 1);
}

TEST_F(Supervision, nothing_goes_to_the_event_log_from_a_link_that_is_not_traced) {
  link().unplug(world->clock().now() + Second(30.0));
  world->clock().run_for(minutes(2.0));
  EXPECT_THAT(log, Each(Not(StartsWith("event=wire"))));
}

TEST_F(Supervision, refuses_what_it_can_not_understand) {
  EXPECT_EQ(world->ask("instrument.show", "bay-1.siren").status, 404);
  EXPECT_EQ(world->ask("instrument.trace", "bay-1.siren").status, 404);
  EXPECT_EQ(world->ask("instrument.trace.set", "bay-1.siren", R"({"on":true})").status, 404);
  for (const char* body : {"", "{}", R"({"on":"yes"})", R"({"on":1})", R"({"off":true})"}) {
    EXPECT_EQ(world->ask("instrument.trace.set", load_name, body).status, 400) << body;
  }
  for (const char* body : {R"({"after":"x"})", R"({"after":"-1"})", R"({"after":""})"}) {
    EXPECT_EQ(world->ask("instrument.trace", load_name, body).status, 400) << body;
  }
  EXPECT_FALSE(load().at("traced").as_bool());
}

TEST_F(Supervision, the_same_seed_tells_the_same_story_word_for_word) {
  std::string stories[2];
  for (std::string& story : stories) {
    log.clear();
    SetUp();
    switch_trace(true);
    begin_discharge();
    link().unplug(world->clock().now() + Second(20.0));
    world->clock().run_for(minutes(2.0));
    story = world->ask("instrument.list").body + world->ask("instrument.trace", load_name).body +
            world->ask("metrics").body;
    for (const std::string& line : log) story += line + "\n";
  }
  EXPECT_GT(stories[0].size(), 5000U);
  EXPECT_EQ(stories[0], stories[1]);
}

}  // namespace
}  // namespace leadwright
