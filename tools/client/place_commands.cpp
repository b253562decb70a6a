// SPDX-License-Identifier: Apache-2.0
#include "tools/client/place_commands.h"

#include <iostream>

#include "tools/client/call.h"
#include "tools/client/json_view.h"
#include "tools/client/parameters.h"
#include "tools/client/show.h"

namespace leadwright {
namespace {

namespace json = boost::json;

std::string place_path(const PlaceOptions& options, std::string_view verb) {
  return "/api/v1/places/" + path_segment(options.place) + std::string(verb);
}

void set_text(json::object& object, const char* key, const std::string& value) {
  if (!value.empty()) object[key] = value;
}

ExitCode with_reason(const ClientOptions& client, const PlaceOptions& options, const char* verb) {
  const json::object body{{"why", options.why}};
  return run_ask(client, {"POST", place_path(options, verb), json::serialize(body)}, show_done);
}

/// What the place asks now, "cautions" for one; fails with conflict if it asks nothing.
Result<std::string> asked_at(const ClientOptions& client, const PlaceOptions& options) {
  auto body = ask(client, {"GET", "/api/v1/bench", ""});
  if (!body) return pass(body);
  const auto bench = parse_json(*body);
  if (!bench) return fail(Errc::garbled, "the bench's answer is not JSON", "/api/v1/bench");
  for (const auto& place : items(member(*bench, "places"))) {
    if (words(member(place, "name")) != options.place) continue;
    const auto& question = member(place, "ask");
    if (question.is_null()) return fail(Errc::conflict, "nothing is asked there", options.place);
    if (!client.json) std::cout << words(member(question, "text")) << "\n";
    return words(member(question, "of"));
  }
  return fail(Errc::not_found, "there is no such place", options.place, "see leadwright place list");
}

}  // namespace

ExitCode place_list(const ClientOptions& client) {
  return run_ask(client, {"GET", "/api/v1/places", ""}, show_places);
}

ExitCode place_start(const ClientOptions& client, const PlaceOptions& options) {
  json::object body;
  set_text(body, "procedure", options.procedure);
  set_text(body, "consented_by", options.consented_by);
  const auto parameters = parameters_of(options.with);
  if (!parameters) return report(client, parameters.error());
  if (!parameters->empty()) body["parameters"] = *parameters;
  return run_ask(client, {"POST", place_path(options, "/start"), json::serialize(body)}, show_start);
}

ExitCode place_stop(const ClientOptions& client, const PlaceOptions& options) {
  return with_reason(client, options, "/stop");
}

ExitCode place_pause(const ClientOptions& client, const PlaceOptions& options) {
  return with_reason(client, options, "/pause");
}

ExitCode place_resume(const ClientOptions& client, const PlaceOptions& options) {
  return with_reason(client, options, "/resume");
}

ExitCode place_out_of_service(const ClientOptions& client, const PlaceOptions& options) {
  return with_reason(client, options, "/out_of_service");
}

ExitCode place_in_service(const ClientOptions& client, const PlaceOptions& options) {
  return with_reason(client, options, "/in_service");
}

ExitCode alarm_test(const ClientOptions& client) {
  return run_ask(client, {"POST", "/api/v1/alarm/test", "{}"}, show_done);
}

ExitCode place_acknowledge(const ClientOptions& client, const PlaceOptions& options) {
  json::object body;
  body["of"] = options.of;
  if (options.of.empty()) {
    const auto of = asked_at(client, options);
    if (!of) return report(client, of.error());
    body["of"] = *of;
  }
  set_text(body, "answer", options.answer);
  set_text(body, "why", options.why);
  if (options.cells) body["cells"] = *options.cells;
  return run_ask(client, {"POST", place_path(options, "/acknowledge"), json::serialize(body)}, show_done);
}

ExitCode stop_all(const ClientOptions& client, const PlaceOptions& options) {
  json::object body;
  set_text(body, "why", options.why);
  return run_ask(client, {"POST", "/api/v1/stop", json::serialize(body)}, show_done);
}

}  // namespace leadwright
