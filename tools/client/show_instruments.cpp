// SPDX-License-Identifier: Apache-2.0
#include "tools/client/show_instruments.h"

#include <boost/json/array.hpp>
#include <vector>

#include "tools/client/json_view.h"
#include "tools/client/table.h"
#include "tools/client/trace_view.h"

namespace leadwright {
namespace {

namespace json = boost::json;

std::string milliseconds(const json::value& seconds) {
  const auto value = number(seconds);
  return value ? decimal(*value * 1e3, 1) : "";
}

std::string on_off(const json::value& value) {
  return words(value) == "true" ? "on" : "off";
}

std::string percentile(const json::value& replies, const std::string& name) {
  const std::string about = milliseconds(member(replies, name + "_s"));
  if (about.empty()) return "";
  return about + " ms, between " + milliseconds(member(replies, name + "_from_s")) + " and " +
         milliseconds(member(replies, name + "_to_s")) + " ms";
}

std::string with_unit(const std::string& text, const char* unit) {
  return text.empty() ? text : text + unit;
}

std::string off_within(const json::value& seconds) {
  const auto value = number(seconds);
  if (!value) return "";
  return *value > 0.0 ? with_unit(milliseconds(seconds), " ms at the most") : "at once";
}

void add(std::vector<std::vector<std::string>>& rows, const std::string& name, const std::string& value) {
  if (!value.empty()) rows.push_back({name, value});
}

}  // namespace

std::string show_instruments(const std::string& body) {
  const auto list = parse_json(body);
  if (!list || !list->is_array()) return body + "\n";
  if (list->get_array().empty()) return "no instrument\n";
  std::vector<std::vector<std::string>> rows{{"INSTRUMENT", "STATE", "SINCE", "ASKED", "AGAIN", "LATE",
                                              "GARBLED", "OPENED AGAIN", "P50 MS", "P99 MS", "WORST MS",
                                              "TRACE", "LAST TROUBLE"}};
  for (const auto& each : list->get_array()) {
    const auto& counters = member(each, "counters");
    const auto& replies = member(each, "replies");
    rows.push_back({words(member(each, "name")), words(member(each, "state")), words(member(each, "since")),
                    words(member(counters, "exchanges")), words(member(counters, "retries")),
                    words(member(counters, "time_outs")), words(member(counters, "garbles")),
                    words(member(counters, "reopenings")), milliseconds(member(replies, "p50_s")),
                    milliseconds(member(replies, "p99_s")), milliseconds(member(replies, "worst_s")),
                    on_off(member(each, "traced")), words(member(member(each, "trouble"), "what"))});
  }
  return table(rows);
}

std::string show_instrument(const std::string& body) {
  const auto instrument = parse_json(body);
  if (!instrument || !instrument->is_object()) return body + "\n";
  std::vector<std::vector<std::string>> rows;
  for (const char* key : {"name", "place", "role", "profile", "link", "state", "since"}) {
    add(rows, key, words(member(*instrument, key)));
  }
  for (const char* key : {"maker", "model", "serial", "firmware"}) {
    add(rows, key, words(member(member(*instrument, "identity"), key)));
  }
  for (const char* key : {"exchanges", "retries", "time_outs", "garbles", "reopenings"}) {
    add(rows, key, words(member(member(*instrument, "counters"), key)));
  }
  const auto& replies = member(*instrument, "replies");
  add(rows, "half answered within", percentile(replies, "p50"));
  add(rows, "99 % answered within", percentile(replies, "p99"));
  add(rows, "slowest answer", with_unit(milliseconds(member(replies, "worst_s")), " ms"));
  add(rows, "off goes out", off_within(member(*instrument, "off_within_s")));
  add(rows, "byte trace", on_off(member(*instrument, "traced")));
  const auto& trouble = member(*instrument, "trouble");
  add(rows, "last trouble", words(member(trouble, "what")));
  add(rows, "that was at", words(member(trouble, "at")));
  return table(rows);
}

std::string show_wire_trace(const std::string& body) {
  TraceView view;
  const auto text = view.take(body);
  if (!text) return body + "\n";
  if (text->empty()) return std::string("the trace is ") + (view.is_on() ? "on" : "off") + " and empty\n";
  return *text;
}

std::string show_trace_switched(const std::string& body) {
  const auto instrument = parse_json(body);
  if (!instrument || !instrument->is_object()) return body + "\n";
  return "the trace of " + words(member(*instrument, "link")) + " is " +
         on_off(member(*instrument, "traced")) + "\n";
}

}  // namespace leadwright
