// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/admit.h"

#include <gtest/gtest.h>

#include <set>

#include "daemon/web/assets.h"

namespace leadwright {
namespace {

constexpr std::uint16_t port = 8417;

Head change(std::string_view target) {
  Head head;
  head.method = "POST";
  head.target = target;
  head.host_lines = 1;
  head.host = "127.0.0.1:8417";
  head.actor = "ana";
  return head;
}

int status_of(const Head& head) {
  const auto verdict = admit(head, Access{port});
  return verdict ? 200 : verdict.error().status;
}

TEST(Admit, takes_a_change_with_an_actor_and_gives_its_verb_and_subject) {
  const auto verdict = admit(change("/api/v1/tickets/T-000001-3/move"), Access{port});
  ASSERT_TRUE(verdict);
  EXPECT_EQ(verdict->request.verb, "ticket.move");
  EXPECT_EQ(verdict->request.subject, "T-000001-3");
  EXPECT_EQ(verdict->request.actor, "ana");
}

TEST(Admit, takes_every_loopback_name_with_the_port_and_no_other) {
  for (const auto host : {"localhost:8417", "127.0.0.1:8417", "[::1]:8417"}) {
    Head head = change("/api/v1/stop");
    head.host = host;
    EXPECT_EQ(status_of(head), 200) << host;
  }
  for (const auto host : {"localhost", "127.0.0.1:80", "bench.example:8417", "localhost:84170",
                          "localhost.example:8417", "", "localhost:", "127.0.0.1:8417.example"}) {
    Head head = change("/api/v1/stop");
    head.host = host;
    EXPECT_EQ(status_of(head), 421) << host;
  }
}

TEST(Admit, takes_changes_from_its_own_origin_only) {
  Head head = change("/api/v1/stop");
  head.origin = "http://localhost:8417";
  EXPECT_EQ(status_of(head), 200);
  for (const auto origin :
       {"http://bench.example:8417", "https://localhost:8417", "null", "http://localhost:8418"}) {
    head.origin = origin;
    EXPECT_EQ(status_of(head), 403) << origin;
  }
  head.origin = {};
  head.fetch_site = "cross-site";
  EXPECT_EQ(status_of(head), 403);
}

TEST(Admit, refuses_an_actor_that_is_missing_broken_or_too_long) {
  Head head = change("/api/v1/stop");
  const std::string long_name(81, 'a');
  for (const std::string_view actor :
       {std::string_view(), std::string_view("%20"), std::string_view("a%0Ab"), std::string_view("%C3"),
        std::string_view("%zz"), std::string_view(long_name)}) {
    head.actor = actor;
    EXPECT_EQ(status_of(head), 400) << actor;
  }
  head.actor = "%C3%89va";
  EXPECT_EQ(admit(head, Access{port})->request.actor, "\xC3\x89va");
}

TEST(Admit, turns_the_one_query_of_a_route_into_json_and_refuses_others) {
  Head head = change("/api/v1/tickets?state=graded");
  head.method = "GET";
  EXPECT_EQ(admit(head, Access{port})->request.body, R"({"state":"graded"})");
  head.target = "/api/v1/tickets?stat=graded";
  EXPECT_EQ(status_of(head), 400);
  head.target = "/api/v1/places?state=graded";
  EXPECT_EQ(status_of(head), 400);
}

TEST(Admit, refuses_a_body_that_is_not_declared_as_json) {
  Head head = change("/api/v1/tickets");
  head.has_body = true;
  head.content_type = "text/plain";
  EXPECT_EQ(status_of(head), 415);
  head.content_type = "application/json; charset=utf-8";
  EXPECT_EQ(status_of(head), 200);
}

TEST(Admit, refuses_two_host_lines) {
  Head head = change("/api/v1/stop");
  head.host_lines = 2;
  EXPECT_EQ(status_of(head), 400);
}

TEST(Body, must_be_one_object_of_few_levels) {
  EXPECT_TRUE(check_body(""));
  EXPECT_TRUE(check_body(R"({"place":"bay-1"})"));
  EXPECT_FALSE(check_body("[1]"));
  EXPECT_FALSE(check_body("{} {}"));
  EXPECT_FALSE(check_body(R"({"a":"\uD800"})"));
  EXPECT_FALSE(check_body(std::string(2000, '[')));
}

TEST(Routes, never_change_the_bench_by_get_and_give_every_asset) {
  const std::set<std::string_view> reads{
      "page",       "health",         "metrics",         "openapi",         "session.show",
      "bench",      "events",         "ticket.list",     "ticket.show",     "part.show",
      "place.list", "procedure.list", "run.trace",       "certificate.pdf", "certificate.svg",
      "photo.show", "code.svg",       "instrument.list", "instrument.show", "instrument.trace",
      "person.list"};
  for (const auto& route : routes()) {
    EXPECT_EQ(route.method == "GET", reads.contains(route.verb)) << route.pattern;
    if (route.kind != RouteKind::asset) continue;
    EXPECT_FALSE(asset_at(route.pattern).bytes.empty()) << route.pattern;
  }
}

TEST(Routes, decode_a_place_name_and_keep_slashes_apart) {
  EXPECT_EQ(match_route({"POST", "/api/v1/places/bay%201/stop"}).subject, "bay 1");
  EXPECT_EQ(match_route({"POST", "/api/v1/places/a/b/stop"}).route, nullptr);
  EXPECT_EQ(match_route({"POST", "/api/v1/places//stop"}).route, nullptr);
  EXPECT_EQ(match_route({"DELETE", "/api/v1/tickets"}).allow, "GET, POST");
}

}  // namespace
}  // namespace leadwright
