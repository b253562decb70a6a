// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/bench_view.h"

#include <boost/json.hpp>

namespace leadwright {

namespace json = boost::json;

namespace {

std::string text(const json::object& from, std::string_view key) {
  const json::value* value = from.if_contains(json::string_view(key.data(), key.size()));
  const json::string* found = value ? value->if_string() : nullptr;
  return found ? std::string(found->data(), found->size()) : std::string();
}

std::string text_inside(const json::object& from, std::string_view outer, std::string_view key) {
  const json::value* value = from.if_contains(json::string_view(outer.data(), outer.size()));
  const json::object* inside = value ? value->if_object() : nullptr;
  return inside ? text(*inside, key) : std::string();
}

PlaceView place_view(const json::object& from) {
  return {text(from, "name"),     text(from, "kind"),  text(from, "ticket"),
          text(from, "activity"), text(from, "doing"), text(from, "procedure"),
          text(from, "step"),     text(from, "needs"), text_inside(from, "ask", "of")};
}

QueueView queue_view(const json::object& from) {
  return {text(from, "ticket"),
          text(from, "label"),
          text(from, "state"),
          text(from, "place"),
          text(from, "grade"),
          text(from, "reason"),
          text_inside(from, "next", "procedure"),
          text_inside(from, "next", "place_kind"),
          text(from, "needs")};
}

const json::array* list(const json::object& from, const char* key) {
  const json::value* value = from.if_contains(key);
  return value ? value->if_array() : nullptr;
}

json::value parse(std::string_view from) {
  json::error_code error;
  json::value value = json::parse(json::string_view(from.data(), from.size()), error);
  return error ? json::value() : value;
}

}  // namespace

const PlaceView* BenchView::place(std::string_view name) const {
  for (const PlaceView& each : places) {
    if (each.name == name) return &each;
  }
  return nullptr;
}

const QueueView* BenchView::ticket(std::string_view shown) const {
  for (const QueueView& each : queue) {
    if (each.ticket == shown) return &each;
  }
  return nullptr;
}

Result<BenchView> read_bench_view(std::string_view from) {
  const json::value value = parse(from);
  const json::object* root = value.if_object();
  const json::array* places = root ? list(*root, "places") : nullptr;
  const json::array* queue = root ? list(*root, "queue") : nullptr;
  if (!places || !queue) return fail(Errc::garbled, "this is no snapshot of a bench", "GET /api/v1/bench");
  BenchView view;
  view.at = text(*root, "at");
  for (const json::value& each : *places) {
    if (const json::object* place = each.if_object()) view.places.push_back(place_view(*place));
  }
  for (const json::value& each : *queue) {
    if (const json::object* entry = each.if_object()) view.queue.push_back(queue_view(*entry));
  }
  return view;
}

std::string json_member(std::string_view from, std::string_view key) {
  const json::value value = parse(from);
  const json::object* root = value.if_object();
  return root ? text(*root, key) : std::string();
}

std::string json_quoted(std::string_view from) {
  return json::serialize(json::string(json::string_view(from.data(), from.size())));
}

std::string queue_json(const BenchView& bench) {
  json::array all;
  for (const QueueView& each : bench.queue) {
    json::object row{{"ticket", each.ticket},
                     {"battery", each.label},
                     {"state", each.state},
                     {"place", each.place},
                     {"reason", each.reason}};
    row["grade"] = each.grade.empty() ? json::value() : json::value(each.grade);
    all.push_back(std::move(row));
  }
  return json::serialize(all);
}

}  // namespace leadwright
