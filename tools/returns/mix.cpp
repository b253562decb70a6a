// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/mix.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>

#include "protocol/toml_reader.h"

namespace leadwright {

namespace {

constexpr Second longest_day = hours(24.0);
constexpr double share_max = 1e6;
constexpr double ratio_max = 2.0;
constexpr double coldest_degc = 0.0;
constexpr double warmest_degc = 45.0;
constexpr double places_max = 64.0;

struct FaultWord {
  const char* word;
  CellFault fault;
};
constexpr FaultWord fault_words[] = {
    {"none", CellFault::none},           {"shorted", CellFault::shorted},
    {"open", CellFault::open},           {"high_resistance", CellFault::high_resistance},
    {"sulphated", CellFault::sulphated}, {"low_capacity", CellFault::low_capacity},
    {"dried_out", CellFault::dried_out}, {"self_discharge", CellFault::self_discharge},
};

/// A number that must be there and lie within the bounds.
double bounded(const TomlTable& table, const char* key, MixSpan bounds) {
  const double value = table.need_number(key);
  if (table.has(key) && !(value >= bounds.least && value <= bounds.most)) {
    table.error(key, "outside what makes sense", fmt::format("{:g} to {:g}", bounds.least, bounds.most));
  }
  return value;
}

MixSpan span(const TomlTable& table, const char* key, MixSpan bounds) {
  const std::vector<double> ends = table.numbers(key);
  const std::string mend =
      fmt::format("two numbers, the smaller first, {:g} to {:g}: [1, 2]", bounds.least, bounds.most);
  if (!table.has(key)) {
    table.error("", fmt::format("{} is missing", key), mend);
    return bounds;
  }
  if (ends.size() != 2 || !(ends[0] >= bounds.least && ends[0] <= ends[1] && ends[1] <= bounds.most)) {
    table.error(key, "no span", mend);
    return bounds;
  }
  return {ends[0], ends[1]};
}

Second seconds(const TomlTable& table, const char* key, Second most) {
  return Second(bounded(table, key, {0.0, most.si()}));
}

/// "08:00" as the time since midnight.
Second time_of_day(const TomlTable& table, const char* key) {
  const std::string text = table.need_string(key);
  int hour = -1;
  int minute = -1;
  const char* const end = text.data() + text.size();
  const auto first = std::from_chars(text.data(), end, hour);
  const bool has_colon = first.ec == std::errc() && first.ptr != end && *first.ptr == ':';
  const auto second = has_colon ? std::from_chars(first.ptr + 1, end, minute) : first;
  const bool is_time = has_colon && second.ec == std::errc() && second.ptr == end && hour >= 0 &&
                       minute >= 0 && minute < 60 && hours(hour) + minutes(minute) <= longest_day;
  if (table.has(key) && !is_time) table.error(key, "no time of day", "write \"08:00\" to \"24:00\"");
  return is_time ? hours(hour) + minutes(minute) : Second(0.0);
}

CellFault fault_of(const TomlTable& table) {
  const std::string word = table.string("fault").value_or("none");
  std::string known;
  for (const FaultWord& each : fault_words) {
    if (word == each.word) return each.fault;
    known.append(known.empty() ? "" : ", ").append(each.word);
  }
  table.error("fault", fmt::format("the simulator knows no fault \"{}\"", word), "one of " + known);
  return CellFault::none;
}

BatteryKind read_kind(const TomlTable& table) {
  BatteryKind kind;
  kind.name = table.need_string("name");
  kind.share = bounded(table, "share", {0.0, share_max});
  kind.wear = span(table, "wear", {0.1, 1.0});
  kind.charged = span(table, "charged", {0.0, 1.0});
  kind.fault = fault_of(table);
  kind.faulty_cells = static_cast<int>(table.integer("faulty_cells").value_or(0));
  if (kind.faulty_cells < 0 || kind.faulty_cells > 6) {
    table.error("faulty_cells", "a starter battery of 12 V has six cells", "0 to 6");
  } else if ((kind.faulty_cells > 0) != (kind.fault != CellFault::none)) {
    table.error(table.has("faulty_cells") ? "faulty_cells" : "", "a fault needs cells that have it",
                "give both `fault` and `faulty_cells`, or neither");
  }
  if (table.has("severity")) kind.severity = span(table, "severity", {0.01, 1.0});
  if (kind.severity && kind.faulty_cells == 0)
    table.error("severity", "nothing is wrong that it could belong to", "give a fault as well");
  if (table.has("of_label")) kind.of_label = span(table, "of_label", {0.2, 1.5});
  if (table.has("clamp_mohm")) kind.clamp_mohm = span(table, "clamp_mohm", {0.1, 10000.0});
  kind.cracked = table.boolean("cracked").value_or(false);
  return kind;
}

void read_kinds(const TomlTable& root, ReturnsMix& mix) {
  std::set<std::string> names;
  double sum = 0.0;
  for (const TomlTable& table : root.tables("kind")) {
    mix.kinds.push_back(read_kind(table));
    sum += std::max(0.0, mix.kinds.back().share);
    if (!names.insert(mix.kinds.back().name).second) {
      table.error("name", fmt::format("two kinds are called \"{}\"", mix.kinds.back().name),
                  "give each its own name");
    }
  }
  if (!(sum > 0.0)) root.error("", "nothing ever comes in", "describe a [[kind]] with a share above 0");
}

void read_sizes(const TomlTable& root, ReturnsMix& mix) {
  double sum = 0.0;
  for (const TomlTable& table : root.tables("size")) {
    BatterySize size;
    size.c20 = ampere_hours(bounded(table, "c20_ah", {10.0, 300.0}));
    size.cca = Ampere(bounded(table, "cca_a", {50.0, 2000.0}));
    size.share = bounded(table, "share", {0.0, share_max});
    sum += std::max(0.0, size.share);
    CellBatteryMake make;
    make.c20 = size.c20;
    if (size.c20 > Coulomb(0.0)) size.as_new = CellBattery(make).truth_at_25a();
    mix.sizes.push_back(size);
  }
  if (!(sum > 0.0)) root.error("", "no battery has a size", "describe a [[size]] with a share above 0");
}

People read_people(const TomlTable& table) {
  People people;
  people.opens = time_of_day(table, "opens");
  people.closes = time_of_day(table, "closes");
  if (people.closes <= people.opens)
    table.error("closes", "it closes before it opens", "a time after `opens`, on the same day");
  constexpr Second act_max = hours(1.0);
  people.ticket = seconds(table, "ticket_s", act_max);
  people.carry = seconds(table, "carry_s", act_max);
  people.unclamp = seconds(table, "unclamp_s", act_max);
  people.start = seconds(table, "start_s", act_max);
  people.answer = seconds(table, "answer_s", act_max);
  people.close = seconds(table, "close_s", act_max);
  people.notice_s = span(table, "notice_s", {0.0, longest_day.si()});
  people.owner_agrees = bounded(table, "owner_agrees", {0.0, 1.0});
  people.asks_again_max = static_cast<int>(bounded(table, "asks_again_max", {0.0, 10.0}));
  people.time_cap = seconds(table, "time_cap_s", longest_day * 60.0);
  return people;
}

std::vector<int> counts(const TomlTable& table, const char* key) {
  std::vector<int> all;
  for (const double each : table.numbers(key)) {
    if (each >= 1.0 && each <= places_max && each == std::floor(each)) all.push_back(static_cast<int>(each));
  }
  if (all.empty() || all.size() != table.numbers(key).size())
    table.error(key, "no list of how many", "whole numbers from 1 to 64: [1, 2]");
  return all;
}

tl::expected<ReturnsMix, std::vector<Error>> read_document(TomlDocument& document) {
  const TomlTable& root = document.root();
  ReturnsMix mix;
  mix.name = root.need_string("name");
  mix.version = static_cast<int>(root.need_integer("version"));
  read_kinds(root, mix);
  read_sizes(root, mix);
  const TomlTable label = root.need_table("label");
  mix.label.states_reserve_capacity = bounded(label, "states_reserve_capacity", {0.0, 1.0});
  mix.label.states_cca = bounded(label, "states_cca", {0.0, 1.0});
  mix.label.new_over_rated = span(label, "new_over_rated", {0.5, ratio_max});
  mix.temperature_degc = span(root.need_table("room"), "temperature_degc", {coldest_degc, warmest_degc});
  mix.repeatability = bounded(root, "repeatability", {0.0, 0.2});
  mix.people = read_people(root.need_table("people"));
  const TomlTable queue = root.need_table("queue");
  mix.queue.arrivals_a_day = bounded(queue, "arrivals_a_day", {0.1, 1000.0});
  mix.queue.bays = counts(queue, "bays");
  mix.queue.charging_places = counts(queue, "charging_places");
  document.finish();
  if (!document.errors().empty()) return tl::unexpected(document.errors());
  return mix;
}

}  // namespace

tl::expected<ReturnsMix, std::vector<Error>> read_returns_mix(std::string_view text,
                                                              const std::string& file) {
  TomlDocument document = TomlDocument::parse(text, file);
  return read_document(document);
}

tl::expected<ReturnsMix, std::vector<Error>> load_returns_mix(const std::string& path) {
  TomlDocument document = TomlDocument::load(path);
  return read_document(document);
}

}  // namespace leadwright
