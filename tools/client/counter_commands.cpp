// SPDX-License-Identifier: Apache-2.0
#include "tools/client/counter_commands.h"

#include <fmt/format.h>

#include <algorithm>
#include <iostream>
#include <vector>

#include "protocol/ascii.h"
#include "tools/client/call.h"
#include "tools/client/json_view.h"
#include "tools/client/table.h"

namespace leadwright {
namespace {

namespace json = boost::json;
using Rows = std::vector<std::vector<std::string>>;

std::string shown_at(const json::value& of, std::string_view key) {
  return words(member(of, key));
}

std::string amount(const json::value& of, std::string_view key, int digits) {
  const auto value = number(member(of, key));
  return value ? decimal(*value, digits) : "";
}

std::string show_scalars(const json::value& object, Rows rows = {}) {
  if (object.is_object()) {
    for (const auto& [key, value] : object.get_object()) rows.push_back({std::string(key), words(value)});
  }
  return table(rows);
}

std::string show_part(const std::string& body) {
  const auto part = parse_json(body);
  if (!part || !member(*part, "battery").is_object()) return body + "\n";
  return show_scalars(member(*part, "battery"), {{"part", shown_at(*part, "part")}});
}

std::string show_session(const std::string& body) {
  const auto session = parse_json(body);
  return session && session->is_object() ? show_scalars(*session) : body + "\n";
}

std::vector<std::string> place_row(const json::value& place) {
  const auto left = number(member(place, "left_s"));
  return {shown_at(place, "name"),    shown_at(place, "kind"),           shown_at(place, "ticket"),
          shown_at(place, "doing"),   left ? short_duration(*left) : "", amount(place, "volts_v", 3),
          amount(place, "amps_a", 2), amount(place, "case_degc", 1),     shown_at(place, "needs")};
}

std::string letter_of(const json::value& row) {
  const std::string own = shown_at(row, "own_grade");
  return shown_at(row, "grade") + (own.empty() ? "" : " (bench: " + own + ")");
}

std::string minutes_words(const json::value& row) {
  std::string text = amount(row, "reserve_capacity_min", 1);
  if (const auto u = number(member(row, "reserve_capacity_u_min"))) text += " +- " + decimal(2.0 * *u, 1);
  if (const auto rated = number(member(row, "rated_min")))
    text += (text.empty() ? "rated " : " of ") + decimal(*rated, 0);
  return text;
}

std::vector<std::string> queue_row(const json::value& row) {
  std::string why = shown_at(row, "reason");
  if (const auto waits = shown_at(row, "proposed_grade"); !waits.empty())
    why += " Needs you: the letter " + waits + " waits for a second person.";
  if (const auto needs = shown_at(row, "needs"); !needs.empty()) why += " Needs you: " + needs;
  return {shown_at(row, "ticket"),
          shown_at(row, "label"),
          shown_at(row, "state"),
          shown_at(row, "place"),
          letter_of(row),
          minutes_words(row),
          why};
}

}  // namespace

std::string show_bench(const std::string& body, const std::string& search) {
  const auto bench = parse_json(body);
  if (!bench || !member(*bench, "places").is_array()) return body + "\n";
  std::string text = shown_at(*bench, "bench") + ", " + shown_at(*bench, "at");
  if (shown_at(*bench, "simulated") == "true") text += ", SIMULATED, time x " + amount(*bench, "scale", 0);
  text += "\n";
  for (const auto& alarm : items(member(*bench, "alarms"))) {
    const std::string place = shown_at(alarm, "place");
    text.append("ALARM: ").append(place).append(place.empty() ? "" : ": ").append(shown_at(alarm, "text"));
    text += "\n";
  }
  Rows places{{"PLACE", "KIND", "TICKET", "DOES", "LEFT", "V", "A", "DEGC", "NEEDS"}};
  for (const auto& place : items(member(*bench, "places"))) places.push_back(place_row(place));
  const std::string wanted = lower_ascii(std::string_view(search));
  Rows queue{{"TICKET", "BATTERY", "STATE", "PLACE", "GRADE", "MIN, k = 2", "WHY"}};
  for (const auto& one : items(member(*bench, "queue"))) {
    const auto row = queue_row(one);
    const bool is_wanted = std::ranges::any_of(
        row, [&](std::string_view cell) { return lower_ascii(cell).find(wanted) != std::string::npos; });
    if (is_wanted) queue.push_back(row);
  }
  text.append("\n").append(table(places)).append("\n");
  text.append(queue.size() > 1 ? table(queue) : "no ticket\n");
  for (const auto& one : items(member(*bench, "suggestions"))) {
    text.append("NEXT at ").append(shown_at(one, "place")).append(": ").append(shown_at(one, "ticket"));
    text.append(", ")
        .append(shown_at(one, "procedure"))
        .append(". ")
        .append(shown_at(one, "why"))
        .append("\n");
  }
  return text;
}

ExitCode part_show(const ClientOptions& client, const PartOptions& options) {
  return run_ask(client, {"GET", "/api/v1/parts/" + path_segment(options.part), ""}, show_part);
}

ExitCode session_show(const ClientOptions& client) {
  return run_ask(client, {"GET", "/api/v1/session", ""}, show_session);
}

ExitCode bench_show(const ClientOptions& client, const BenchShowOptions& options) {
  const auto body = ask(client, {"GET", "/api/v1/bench", ""});
  if (!body) return report(client, body.error());
  std::cout << (client.json ? *body + "\n" : show_bench(*body, options.search));
  return std::cout.flush() ? ExitCode::ok : ExitCode::io;
}

}  // namespace leadwright
