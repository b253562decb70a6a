// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/openapi.h"

#include <algorithm>
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/parse.hpp>
#include <boost/json/serialize.hpp>
#include <iterator>

#include "daemon/web/page_bytes.h"
#include "daemon/web/reply.h"

namespace leadwright {
namespace {

namespace json = boost::json;

constexpr const char* introduction =
    "What the page and the client ask of the bench, for programs of your own. Times are UTC, amounts are in "
    "the unit that their key ends with, null is what nobody knows. A list that grows is given in pages. What "
    "isn't JSON says its media type. Files of the page itself are not listed. Anything that this does not "
    "list is refused, and each refusal says what, where and how to mend it. While the bench is starting or "
    "its disk fails, answers are 503.";

json::string_view json_view(std::string_view text) {
  return {text.data(), text.size()};
}

/// Built in and under test: never anything but an object.
json::object object_of(std::string_view text) {
  return json::parse(json_view(text)).as_object();
}

json::object part(std::string_view name) {
  const auto files = api_files();
  return object_of(std::ranges::find(files, name, &PageFile::name)->bytes);
}

json::object schemas() {
  json::object all;
  for (const PageFile& file : api_files()) {
    if (file.name == "headers.json" || file.name == "parameters.json") continue;
    for (const auto& [name, schema] : object_of(file.bytes)) all.emplace(name, schema);
  }
  return all;
}

json::object reference(std::string_view kind, std::string_view name) {
  return {{"$ref", std::string("#/components/").append(kind).append("/").append(name)}};
}

json::array parameters_of(const Route& route) {
  json::array list;
  if (const auto subject = subject_name(route); !subject.empty()) {
    list.push_back(reference("parameters", subject));
  }
  for (const auto name : words_of(route.query)) list.push_back(reference("parameters", name));
  if (route.is_change()) list.push_back(reference("parameters", "actor"));
  if (route.takes_key()) list.push_back(reference("parameters", "key"));
  if (route.takes_match()) list.push_back(reference("parameters", "if_match"));
  if (route.is_tagged()) list.push_back(reference("parameters", "if_none_match"));
  return list;
}

/// The first example of a schema, which says what a call would look like.
json::object media_of(std::string_view schema, const json::object& all) {
  const auto& examples = all.at(json_view(schema)).as_object().at("examples").as_array();
  return {{"schema", reference("schemas", schema)}, {"example", examples.front()}};
}

json::object answer_of(const Route& route, const json::object& all) {
  json::object media;
  if (!route.gives.empty()) media = media_of(route.gives, all);
  // Bytes have no schema.
  const bool is_text = route.media() != "application/pdf" && route.media() != "image/jpeg";
  if (media.empty() && is_text) media["schema"] = json::object{{"type", "string"}};
  json::object answer{{"description", json_view(route.summary)},
                      {"content", json::object{{json_view(route.media()), std::move(media)}}}};
  json::object headers;
  if (route.is_tagged()) headers["ETag"] = reference("headers", "tag");
  if (route.is_paged()) headers["Link"] = reference("headers", "next");
  if (!headers.empty()) answer["headers"] = std::move(headers);
  if (route.kind == RouteKind::events) {
    answer["description"] =
        "Events called \"bench\", whose data are the JSON of a Bench, and \"beat\" while nothing changes. "
        "Each bench event holds the whole bench, so that nothing is missed by connecting again: the first "
        "event comes at once, whatever Last-Event-ID says.";
  }
  return answer;
}

json::object problem_answer(int status) {
  return {{"description", json_view(title_of(status))},
          {"content", json::object{{"application/problem+json",
                                    json::object{{"schema", reference("schemas", "Problem")}}}}}};
}

json::object operation_of(const Route& route, const json::object& all) {
  json::object operation{{"operationId", json_view(route.verb)}, {"summary", json_view(route.summary)}};
  if (auto parameters = parameters_of(route); !parameters.empty()) {
    operation["parameters"] = std::move(parameters);
  }
  if (!route.takes.empty()) {
    operation["requestBody"] = json::object{
        {"required", false}, {"content", json::object{{"application/json", media_of(route.takes, all)}}}};
  }
  if (route.needs > Rank::anybody) {
    operation["security"] = json::array{json::object{{"token", json::array{json_view(word(route.needs))}}}};
  }
  json::object answers;
  answers[std::to_string(route.status)] = answer_of(route, all);
  if (route.is_tagged()) answers["304"] = reference("responses", "304");
  for (const int status : refusals_of(route)) {
    answers[std::to_string(status)] = reference("responses", std::to_string(status));
  }
  operation["responses"] = std::move(answers);
  return operation;
}

constexpr const char* unchanged = "It is still what If-None-Match names; there is no body.";

json::object components(const json::object& all) {
  json::object answers;
  for (const Route& route : routes()) {
    for (const int status : refusals_of(route)) answers[std::to_string(status)] = problem_answer(status);
  }
  answers["304"] = json::object{{"description", unchanged},
                                {"headers", json::object{{"ETag", reference("headers", "tag")}}}};
  const json::object token{
      {"type", "http"},
      {"scheme", "bearer"},
      {"description",
       "Asked for where the bench is configured so (access = \"tokens\"); else whoever reaches "
       "it may do everything. Of each operation the lowest rank that may ask for it: viewer, "
       "operator, supervisor. Of what leadwright token add tells once."}};
  return {{"securitySchemes", json::object{{"token", token}}},
          {"schemas", all},
          {"headers", part("headers.json")},
          {"parameters", part("parameters.json")},
          {"responses", std::move(answers)}};
}

std::string made() {
  const json::object all = schemas();
  json::object paths;
  for (const Route& route : routes()) {
    if (route.kind == RouteKind::asset) continue;
    auto& path = paths[json_view(route.pattern)];
    if (path.is_null()) path = json::object();
    path.as_object()[route.method == "GET" ? "get" : "post"] = operation_of(route, all);
  }
  const json::object info{{"title", "Leadwright bench"},
                          {"version", "1"},
                          {"description", introduction},
                          {"license", json::object{{"name", "Apache 2.0"}, {"identifier", "Apache-2.0"}}}};
  return json::serialize(json::object{{"openapi", "3.1.0"},
                                      {"info", info},
                                      {"servers", json::array{json::object{{"url", "/"}}}},
                                      {"paths", std::move(paths)},
                                      {"components", components(all)}});
}

}  // namespace

std::string_view subject_name(const Route& route) {
  const auto hole = route.pattern.find('{');
  if (hole == std::string_view::npos) return {};
  return route.pattern.substr(hole + 1, route.pattern.find('}') - hole - 1);
}

std::vector<int> refusals_of(const Route& route) {
  // Any may have an unreadable header or be sent to another name.
  std::vector<int> statuses{400, 421, 431};
  const bool is_asked_for = route.kind != RouteKind::document && route.kind != RouteKind::sign_in;
  if (!subject_name(route).empty()) statuses.push_back(404);
  if (is_asked_for) statuses.push_back(503);
  if (route.takes_match()) statuses.push_back(412);
  if (route.needs > Rank::anybody) statuses.push_back(401);
  if (route.needs > Rank::viewer) statuses.push_back(403);
  if (route.is_change()) statuses.insert(statuses.end(), {403, 413, 415});
  std::ranges::copy_if(route.refusals, std::back_inserter(statuses), [](int status) { return status != 0; });
  std::ranges::sort(statuses);
  statuses.erase(std::unique(statuses.begin(), statuses.end()), statuses.end());
  return statuses;
}

const std::string& openapi_document() {
  static const std::string document = made();
  return document;
}

}  // namespace leadwright
