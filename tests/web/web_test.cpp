// SPDX-License-Identifier: Apache-2.0
// Every route over a real loopback connection against a service that echoes.
#include <gtest/gtest.h>

#include <boost/json/parse.hpp>
#include <boost/json/value.hpp>

#include "tests/web/fake_bench.h"
#include "tools/client/http_client.h"

namespace leadwright {
namespace {

class Web : public testing::Test {
 protected:
  HttpAnswer call(HttpCall what) {
    auto answer = http_request(bench_.web().url(), what);
    EXPECT_TRUE(answer) << answer.error().line();
    return answer.value_or(HttpAnswer{});
  }
  HttpAnswer get(std::string path) { return call({"GET", std::move(path), {}, {}}); }
  HttpAnswer post(std::string path, std::string body) {
    return call({"POST", std::move(path), std::move(body), {actor_header("ana")}});
  }
  FakeBench bench_;
};

std::string text(const HttpAnswer& answer, std::string_view key) {
  const auto value = boost::json::parse(answer.body);
  const auto* const found = value.as_object().if_contains(boost::json::string_view(key.data(), key.size()));
  if (found == nullptr || !found->is_string()) return {};
  return {found->as_string().data(), found->as_string().size()};
}

TEST_F(Web, passes_every_verb_with_its_subject_body_and_actor) {
  struct Row {
    std::string path;
    std::string verb;
    std::string subject;
  };
  const std::vector<Row> changes{
      {"/api/v1/tickets", "ticket.add", ""},
      {"/api/v1/tickets/T-1/move", "ticket.move", "T-1"},
      {"/api/v1/tickets/T-1/close", "ticket.close", "T-1"},
      {"/api/v1/tickets/T-1/hold", "ticket.hold", "T-1"},
      {"/api/v1/tickets/T-1/recheck", "ticket.recheck", "T-1"},
      {"/api/v1/tickets/T-1/inspection", "ticket.inspect", "T-1"},
      {"/api/v1/places/bay-1/start", "place.start", "bay-1"},
      {"/api/v1/places/bay-1/stop", "place.stop", "bay-1"},
      {"/api/v1/places/bay-1/acknowledge", "place.acknowledge", "bay-1"},
      {"/api/v1/instruments/bay-1.load/trace", "instrument.trace.set", "bay-1.load"},
      {"/api/v1/fitting", "fitting.check", ""},
      {"/api/v1/stop", "stop.all", ""},
  };
  for (const auto& row : changes) {
    const auto answer = post(row.path, R"({"a":1})");
    EXPECT_EQ(answer.status, row.verb == "ticket.add" ? 201 : 200) << row.path;
    EXPECT_EQ(answer.content_type, "application/json");
    EXPECT_EQ(text(answer, "verb"), row.verb);
    EXPECT_EQ(text(answer, "subject"), row.subject);
    EXPECT_EQ(text(answer, "body"), R"({"a":1})");
    EXPECT_EQ(text(answer, "actor"), "ana");
  }
}

TEST_F(Web, passes_every_reading_verb_without_an_actor) {
  EXPECT_EQ(text(get("/api/v1/tickets?state=held"), "body"), R"({"state":"held"})");
  EXPECT_EQ(text(get("/api/v1/tickets/T-1"), "verb"), "ticket.show");
  EXPECT_EQ(text(get("/api/v1/places"), "verb"), "place.list");
  EXPECT_EQ(text(get("/api/v1/runs/R-000001/trace"), "subject"), "R-000001");
  EXPECT_EQ(text(get("/api/v1/instruments"), "verb"), "instrument.list");
  EXPECT_EQ(text(get("/api/v1/instruments/bay-1.load"), "verb"), "instrument.show");
  EXPECT_EQ(text(get("/api/v1/instruments/bay-1.load"), "subject"), "bay-1.load");
  EXPECT_EQ(text(get("/api/v1/instruments/bay-1.load/trace"), "verb"), "instrument.trace");
  EXPECT_EQ(text(get("/api/v1/instruments/bay-1.load/trace?after=12"), "body"), R"({"after":"12"})");
  EXPECT_EQ(get("/metrics").content_type, "text/plain; version=0.0.4; charset=utf-8");
}

TEST_F(Web, passes_the_idempotency_key) {
  const auto answer =
      call({"POST", "/api/v1/tickets", "{}", {actor_header("ana"), {"Idempotency-Key", "k-1"}}});
  EXPECT_EQ(text(answer, "idempotency"), "k-1");
}

TEST_F(Web, says_that_it_starts_until_a_snapshot_is_published_and_then_gives_the_latest) {
  EXPECT_EQ(get("/api/v1/bench").status, 503);
  EXPECT_EQ(get("/healthz").status, 503);
  bench_.web().publish(R"({"n":1})");
  bench_.web().publish(R"({"n":2})");
  EXPECT_EQ(get("/api/v1/bench").body, R"({"n":2})");
  EXPECT_EQ(get("/healthz").status, 200);
}

TEST_F(Web, streams_the_snapshot_at_once_and_again_when_it_changes) {
  bench_.web().publish("{\"n\":\n1}");
  std::vector<std::string> seen;
  const auto followed = http_follow(bench_.web().url(), "/api/v1/events", [&](const HttpEvent& event) {
    EXPECT_EQ(event.name, "bench");
    seen.emplace_back(event.data);
    if (seen.size() == 1) bench_.web().publish(R"({"n":2})");
    return seen.size() < 2;
  });
  ASSERT_TRUE(followed) << followed.error().line();
  EXPECT_EQ(seen, (std::vector<std::string>{"{\"n\":\n1}", R"({"n":2})"}));
}

TEST_F(Web, refuses_a_change_without_an_actor_and_asks_nothing_of_control) {
  const auto answer = call({"POST", "/api/v1/stop", "{}", {}});
  EXPECT_EQ(answer.status, 400);
  EXPECT_EQ(answer.content_type, "application/problem+json");
  EXPECT_EQ(text(answer, "where"), "Leadwright-Actor");
  EXPECT_FALSE(text(answer, "title").empty());
  EXPECT_FALSE(text(answer, "mend").empty());
  EXPECT_TRUE(bench_.service.seen().empty());
}

TEST_F(Web, refuses_methods_that_the_table_does_not_list) {
  for (const std::string method : {"PUT", "DELETE", "OPTIONS", "TRACE", "PATCH"}) {
    EXPECT_EQ(call({method, "/api/v1/tickets", {}, {actor_header("ana")}}).status, 405) << method;
  }
  EXPECT_EQ(get("/api/v1/stop").status, 405);
  EXPECT_EQ(post("/api/v1/instruments", "{}").status, 405);
  EXPECT_EQ(get("/api/v1/instruments/bay-1.load?after=1").status, 400);
  EXPECT_EQ(get("/api/v1/nothing").status, 404);
  EXPECT_TRUE(bench_.service.seen().empty());
}

TEST_F(Web, refuses_another_host_and_another_origin) {
  EXPECT_EQ(call({"GET", "/api/v1/bench", {}, {{"Host", "bench.example"}}}).status, 421);
  const auto foreign =
      call({"POST", "/api/v1/stop", "{}", {actor_header("ana"), {"Origin", "http://bench.example"}}});
  EXPECT_EQ(foreign.status, 403);
  EXPECT_TRUE(bench_.service.seen().empty());
}

TEST_F(Web, refuses_a_body_that_is_not_an_object) {
  EXPECT_EQ(post("/api/v1/tickets", "[]").status, 400);
  EXPECT_EQ(post("/api/v1/tickets", "{").status, 400);
  EXPECT_TRUE(bench_.service.seen().empty());
}

TEST_F(Web, passes_problems_of_the_service_through_as_problems) {
  bench_.service.answer_with({409, R"({"title":"no"})"});
  const auto answer = post("/api/v1/stop", "{}");
  EXPECT_EQ(answer.status, 409);
  EXPECT_EQ(answer.content_type, "application/problem+json");
  EXPECT_EQ(answer.body, R"({"title":"no"})");
}

TEST_F(Web, serves_the_page_and_names_no_other_host_in_it) {
  for (const std::string path : {"/", "/page.js", "/places.js", "/instruments.js", "/page.css"}) {
    const auto answer = get(path);
    EXPECT_EQ(answer.status, 200) << path;
    const auto outside = answer.body.find("https://");
    EXPECT_EQ(outside, std::string::npos) << path;
  }
  EXPECT_EQ(get("/").content_type, "text/html; charset=utf-8");
}

TEST(WebStart, refuses_an_address_that_others_can_reach_and_a_taken_port) {
  FakeBench bench;
  const WebBridge bridge{bench.loop(), bench.service};
  EXPECT_EQ(WebServer::start({"0.0.0.0", 0}, bridge).error().code, Errc::refused);
  EXPECT_EQ(WebServer::start({"bench", 0}, bridge).error().code, Errc::bad_input);
  EXPECT_EQ(WebServer::start({"127.0.0.1", bench.web().port()}, bridge).error().code, Errc::busy);
}

}  // namespace
}  // namespace leadwright
