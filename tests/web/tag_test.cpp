// SPDX-License-Identifier: Apache-2.0
// Entity tags and links to the next page, over a real loopback connection.
#include <gmock/gmock.h>

#include "daemon/web/reply.h"
#include "tests/web/fake_bench.h"
#include "tools/client/http_client.h"

namespace leadwright {
namespace {

using testing::IsEmpty;
using testing::StartsWith;

const Route& route_at(std::string_view path) {
  return *match_route({"GET", path}).route;
}

std::string header(const Reply& reply, std::string_view name) {
  for (const auto& [key, value] : reply.more) {
    if (key == name) return value;
  }
  return {};
}

Reply tagged(std::string_view path, std::string body, std::string_view if_none_match = {}) {
  Reply reply{200, "application/json", std::move(body), {}, false};
  tag(route_at(path), if_none_match, reply);
  return reply;
}

TEST(Tag, changes_with_the_body_and_with_nothing_else) {
  const std::string first = header(tagged("/api/v1/places", "[1]"), "ETag");
  EXPECT_EQ(header(tagged("/api/v1/places", "[1]"), "ETag"), first);
  EXPECT_NE(header(tagged("/api/v1/places", "[2]"), "ETag"), first);
}

TEST(Tag, makes_304_without_a_body_of_what_the_reader_has) {
  const std::string known = header(tagged("/api/v1/places", "[1]"), "ETag");
  for (const std::string& asked : {known, R"("other", W/)" + known, std::string("*")}) {
    const Reply again = tagged("/api/v1/places", "[1]", asked);
    EXPECT_EQ(again.status, 304) << asked;
    EXPECT_THAT(again.body, IsEmpty());
    EXPECT_EQ(header(again, "ETag"), known);
  }
  EXPECT_EQ(tagged("/api/v1/places", "[2]", known).status, 200);
}

TEST(Tag, of_the_whole_bench_is_weak_and_leaves_out_the_time) {
  const std::string now = header(tagged("/api/v1/bench", R"({"at":"1","bench":"b"})"), "ETag");
  EXPECT_THAT(now, StartsWith("W/\""));
  EXPECT_EQ(tagged("/api/v1/bench", R"({"at":"2","bench":"b"})", now).status, 304);
  EXPECT_EQ(tagged("/api/v1/bench", R"({"at":"2","bench":"c"})", now).status, 200);
}

TEST(Tag, is_not_on_what_always_changes_nor_on_refusals) {
  EXPECT_THAT(header(tagged("/metrics", "up 1"), "ETag"), IsEmpty());
  EXPECT_THAT(header(tagged("/healthz", "{}"), "ETag"), IsEmpty());
  Reply refused = problem(404, {Errc::not_found, "no", "", ""});
  tag(route_at("/api/v1/places"), "*", refused);
  EXPECT_EQ(refused.status, 404);
}

TEST(NextPage, is_linked_with_the_query_of_this_one) {
  Request request;
  request.body = R"({"state":"held","limit":"2","cursor":"T-1"})";
  const Reply reply = reply_of(route_at("/api/v1/tickets"), request, {200, "[]", "T-000002-7"});
  EXPECT_EQ(header(reply, "Link"), R"(</api/v1/tickets?cursor=T-000002-7&state=held&limit=2>; rel="next")");
  EXPECT_THAT(header(reply_of(route_at("/api/v1/tickets"), request, {200, "[]"}), "Link"), IsEmpty());
}

TEST(Tag, keeps_the_connection_in_step_after_an_answer_without_a_body) {
  FakeBench bench;
  const auto conditional = [&bench](const std::string& known) {
    auto answer = http_request(bench.web().url(), {"GET", "/api/v1/places", {}, {{"If-None-Match", known}}});
    EXPECT_TRUE(answer) << answer.error().line();
    return answer.value_or(HttpAnswer{});
  };
  EXPECT_EQ(conditional("*").status, 304);
  EXPECT_THAT(conditional("*").body, IsEmpty());
  EXPECT_EQ(conditional(R"("other")").status, 200);
}

}  // namespace
}  // namespace leadwright
