// SPDX-License-Identifier: Apache-2.0
// The document against the table of operations. Whether the daemon does what it says is
// tools/lib/contract.py.
#include <gmock/gmock.h>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/parse.hpp>
#include <set>

#include "daemon/web/openapi.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using testing::IsSupersetOf;
using testing::Not;

boost::json::object document() {
  return boost::json::parse(openapi_document()).as_object();
}

const Route& route_of(std::string_view verb) {
  for (const Route& route : routes()) {
    if (route.verb == verb) return route;
  }
  throw std::out_of_range(std::string(verb));
}

TEST(OpenApi, lists_every_operation_that_is_no_file_of_the_page_and_nothing_else) {
  std::set<std::string> of_table;
  for (const Route& route : routes()) {
    if (route.kind == RouteKind::asset) continue;
    of_table.insert(std::string(route.method).append(" ").append(route.pattern));
  }
  std::set<std::string> of_document;
  const boost::json::object whole = document();
  for (const auto& [path, operations] : whole.at("paths").as_object()) {
    for (const auto& [method, operation] : operations.as_object()) {
      of_document.insert((method == "get" ? "GET " : "POST ") + std::string(path));
    }
  }
  EXPECT_EQ(of_document, of_table);
}

TEST(OpenApi, says_of_each_operation_in_a_sentence_what_it_does) {
  for (const Route& route : routes()) {
    if (route.kind == RouteKind::asset) continue;
    EXPECT_THAT(route.summary, Not(IsEmpty())) << route.pattern;
    EXPECT_EQ(route.summary.back(), '.') << route.pattern;
  }
}

TEST(OpenApi, has_each_verb_once_so_that_programs_can_name_them) {
  std::set<std::string_view> verbs;
  for (const Route& route : routes()) {
    const bool is_new = route.kind == RouteKind::asset || verbs.insert(route.verb).second;
    EXPECT_TRUE(is_new) << route.verb;
  }
}

TEST(OpenApi, gives_each_change_a_body_and_the_refusals_of_changes) {
  for (const Route& route : routes()) {
    if (!route.is_change()) continue;
    EXPECT_THAT(route.takes, Not(IsEmpty())) << route.pattern;
    EXPECT_THAT(refusals_of(route), IsSupersetOf({400, 403, 413, 415})) << route.pattern;
  }
}

TEST(OpenApi, lists_what_a_path_with_a_name_refuses_once_each_and_ascending) {
  EXPECT_EQ(subject_name(route_of("ticket.move")), "ticket");
  EXPECT_EQ(subject_name(route_of("bench")), "");
  EXPECT_THAT(refusals_of(route_of("certificate.pdf")), ElementsAre(400, 401, 404, 409, 421, 431, 503));
}

TEST(OpenApi, states_the_media_type_of_what_is_not_json) {
  EXPECT_EQ(route_of("certificate.pdf").media(), "application/pdf");
  EXPECT_EQ(route_of("certificate.svg").media(), "image/svg+xml");
  EXPECT_EQ(route_of("events").media(), "text/event-stream");
  EXPECT_EQ(route_of("metrics").media(), "text/plain; version=0.0.4; charset=utf-8");
  EXPECT_EQ(route_of("ticket.show").media(), "application/json");
}

}  // namespace
}  // namespace leadwright
