// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/triage_rule.h"

#include <algorithm>
#include <string>

#include "daemon/grading/policy_amounts.h"
#include "protocol/toml_reader.h"

namespace leadwright {
namespace {

int count_of(const TomlTable& table, std::string_view key) {
  const std::int64_t count = table.need_integer(key);
  constexpr std::int64_t most = 10'000'000;
  if (table.has(key) && (count < 0 || count > most))
    table.error(key, "no number of batteries", "write a whole number from 0");
  return static_cast<int>(std::clamp<std::int64_t>(count, 0, most));
}

TriageRow row_of(const TomlTable& table) {
  TriageRow row;
  const std::string came = table.need_string("came");
  row.came_charged = came == "charged";
  if (table.has("came") && came != "charged" && came != "discharged")
    table.error("came", "\"" + came + "\" is none of the two", R"(write "charged" or "discharged")");
  row.product_from =
      Volt(read_amount(table, "resistance_from", "V", {0.0, 100.0, "volts, as \"3.2 V\""}).value_or(0.0));
  row.batteries = count_of(table, "batteries");
  row.load_fails = count_of(table, "load_fails");
  row.minutes_fail = count_of(table, "minutes_fail");
  row.both_fail = count_of(table, "both_fail");
  const int either = row.load_fails + row.minutes_fail - row.both_fail;
  if (row.both_fail > std::min(row.load_fails, row.minutes_fail) || either > row.batteries)
    table.error("batteries", "the counts of this row contradict each other",
                "both_fail is at most each of the two, and all that fail are at most the batteries");
  return row;
}

}  // namespace

std::optional<TriageRule> read_triage(const TomlTable& root) {
  const auto table = root.table("triage");
  if (!table) return std::nullopt;
  TriageRule rule;
  const AmountBounds worth{0.0, 1000.0, "minutes, as \"2 min\""};
  const AmountBounds lasts{0.05, 100.0, "hours, as \"1.5 h\""};
  const auto minutes_at = [&](const char* key, const AmountBounds& bounds, Second& value) {
    if (const auto read = read_amount(*table, key, "min", bounds)) value = minutes(*read);
  };
  const auto hours_at = [&](const char* key, Second& value) {
    if (const auto read = read_amount(*table, key, "h", lasts)) value = hours(*read);
  };
  minutes_at("bay_hour", worth, rule.bay_hour);
  minutes_at("charging_hour", worth, rule.charging_hour);
  minutes_at("carry", worth, rule.carry);
  minutes_at("load", {1.0, 120.0, "minutes, as \"8 min\""}, rule.load);
  hours_at("rest_as_it_came", rule.rest_as_it_came);
  hours_at("rest_charged", rule.rest_charged);
  hours_at("charge_empty", rule.charge_empty);
  hours_at("charge_top_up", rule.charge_top_up);
  if (const auto old = read_amount(*table, "old_from", "months", {1.0, 240.0, "months, as \"48 months\""}))
    rule.old_months = static_cast<int>(*old);
  if (const auto odds = table->number("old_odds")) {
    rule.old_odds = *odds;
    if (*odds < 0.1 || *odds > 10.0)
      table->error("old_odds", "outside what is possible", "write a number from 0.1 to 10");
  }
  for (const TomlTable& each : table->tables("seen")) rule.rows.push_back(row_of(each));
  return rule;
}

}  // namespace leadwright
