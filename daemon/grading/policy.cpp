// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/policy.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "daemon/battery/content_hash.h"
#include "daemon/grading/policy_amounts.h"
#include "protocol/ascii.h"
#include "protocol/text_file.h"
#include "protocol/toml_reader.h"

namespace leadwright {
namespace {

constexpr std::string_view letters = "ABCDFU";
constexpr std::array<const char*, 8> situation_keys{"discharged",   "too_young",       "too_warm",
                                                    "too_cold",     "deep_discharged", "wrong",
                                                    "unidentified", "no_consent"};
constexpr std::array<std::pair<CriterionKind, const char*>, 4> criterion_words{
    {{CriterionKind::reserve_capacity, "reserve capacity"},
     {CriterionKind::capacity_20h, "20-hour capacity"},
     {CriterionKind::size, "size"},
     {CriterionKind::half_cca_load, "half-CCA load"}}};

using Bounds = AmountBounds;

void read_number(const TomlTable& root, std::string_view key, const Bounds& bounds, double& value) {
  const auto number = root.number(key);
  if (!number) return;
  if (*number < bounds.lowest || *number > bounds.highest) {
    root.error(key, "outside what is possible", std::string("write a number from ") + bounds.range);
    return;
  }
  value = *number;
}

int read_count(const TomlTable& root, std::string_view key, std::string_view unit, const Bounds& bounds) {
  return static_cast<int>(read_amount(root, key, unit, bounds).value_or(0.0));
}

void read_criteria(const TomlTable& root, Policy& policy) {
  if (!root.has("criteria")) return;
  policy.criteria.clear();
  for (const std::string& text : root.strings("criteria")) {
    const auto* const found =
        std::ranges::find_if(criterion_words, [&](const auto& each) { return text == each.second; });
    if (found == criterion_words.end()) {
      root.error("criteria", "there is no criterion \"" + text + "\"",
                 "\"reserve capacity\", \"20-hour capacity\", \"size\" or \"half-CCA load\"");
      continue;
    }
    policy.criteria.push_back(found->first);
  }
}

void read_discharge(const TomlTable& root, Policy& policy) {
  const auto text = root.string("complete_discharge");
  if (!text || *text == "yes") return;
  if (*text != "with consent" && *text != "never") {
    root.error("complete_discharge", "\"" + *text + "\" is none of the three",
               R"(write "yes", "with consent" or "never")");
  }
  policy.complete_discharge = *text == "never" ? CompleteDischarge::never : CompleteDischarge::with_consent;
}

void read_calibration(const TomlTable& root, CalibrationRule& calibration) {
  const auto table = root.table("calibration");
  if (!table) return;
  const std::string overdue = table->need_string("overdue");
  if (overdue == "refuse") {
    calibration.overdue = OverdueMeters::refuse;
  } else if (overdue != "widen") {
    table->error("overdue", "\"" + overdue + "\" is none of the two", R"(write "widen" or "refuse")");
  }
  read_number(*table, "widen_by", {1.0, 10.0, "1 to 10"}, calibration.widen_by);
}

void read_limits_of_testing(const TomlTable& root, Policy& policy) {
  const Bounds degrees{-30.0, 60.0, "degrees, as \"15 degC\""};
  if (const auto coldest = read_amount(root, "coldest", "degC", degrees)) policy.coldest = Celsius(*coldest);
  if (const auto warmest = read_amount(root, "warmest", "degC", degrees)) policy.warmest = Celsius(*warmest);
  if (policy.coldest && policy.warmest && *policy.coldest >= *policy.warmest) {
    root.error("coldest", "not below the warmest", "for example \"15 degC\" and \"35 degC\"");
  }
  if (const auto storage = read_amount(root, "coldest_storage", "degC", degrees))
    policy.coldest_storage = Celsius(*storage);
  if (root.has("shelf_charge_left")) {
    double share = 0.0;
    read_number(root, "shelf_charge_left", {0.3, 1.0, "0.3 to 1"}, share);
    if (share > 0.0) policy.shelf_charge_left = share;
  }
  const Bounds cell{1.0, 2.1, "volts a cell, as \"1.83 V\""};
  if (const auto volts = read_amount(root, "deep_discharged_cell", "V", cell))
    policy.deep_discharged_cell = Volt(*volts);
  policy.youngest_days = read_count(root, "youngest", "d", {1.0, 120.0, "days, as \"14 d\""});
  policy.oldest_months = read_count(root, "oldest", "months", {1.0, 60.0, "months, as \"6 months\""});
}

void read_retention(const TomlTable& root, Policy& policy) {
  const auto table = root.table("retention");
  if (!table) return;
  RetentionRule rule;
  const auto amount = [&table](const char* key, std::string_view unit, const Bounds& bounds) {
    if (!table->has(key)) table->error("", std::string(key) + " is missing", bounds.range);
    return read_amount(*table, key, unit, bounds).value_or(bounds.lowest);
  };
  rule.falls_most_mv_per_day = amount("falls_most", "mV/d", {1.0, 100.0, "1 to 100, as \"15 mV/d\""});
  rule.settles = hours(amount("settles", "h", {0.0, 168.0, "0 to 168 hours, as \"24 h\""}));
  rule.stands = hours(amount("stands", "h", {12.0, 168.0, "12 to 168 hours, as \"20 h\""}));
  rule.stands_most = hours(amount("stands_most", "h", {12.0, 336.0, "12 to 336 hours, as \"72 h\""}));
  rule.flat_cell = Volt(amount("flat_cell", "V", {1.5, 2.2, "volts a cell, as \"2.083 V\""}));
  rule.wrong = minutes(amount("wrong_costs", "min", {0.0, 1e5, "minutes, as \"600 min\""}));
  rule.costs = minutes(amount("looks_cost", "min", {0.0, 1e4, "minutes, as \"10 min\""}));
  read_number(*table, "share", {0.0, 1.0, "0 to 1"}, rule.share);
  read_number(*table, "came_flat", {0.0, 100.0, "0 to 100"}, rule.came_flat);
  read_number(*table, "came_charged", {0.0, 100.0, "0 to 100"}, rule.came_charged);
  if (rule.stands_most < rule.stands)
    table->error("stands_most", "shorter than one stand", "at least as long as `stands`");
  policy.retention = rule;
}

void read_warranty(const TomlTable& root, Policy& policy) {
  const auto table = root.table("warranty");
  if (!table) return;
  const Bounds span{0.0, 240.0, "months, as \"24 months\""};
  policy.warranty =
      WarrantyTerms{read_count(*table, "free", "months", span), read_count(*table, "total", "months", span)};
  if (policy.warranty->total_months < policy.warranty->free_months) {
    table->error("total", "shorter than the free period", "count both from the sale");
  }
}

void read_second_life(const TomlTable& root, Policy& policy) {
  for (const TomlTable& table : root.tables("second_life")) {
    SecondLife life{table.need_number("share"), table.need_string("words")};
    if (!policy.second_life.empty() && policy.second_life.back().share <= life.share) {
      table.error("share", "the shares must fall", "put the most demanding use first");
    }
    policy.second_life.push_back(std::move(life));
  }
}

void read_sizes(const TomlTable& root, Policy& policy) {
  const auto table = root.table("minutes_by_size");
  if (!table) return;
  for (const std::string& size : table->keys()) {
    const auto rated = read_amount(*table, size, "min", {10.0, 600.0, "minutes, as \"90 min\""});
    if (rated) policy.minutes_by_size[size] = minutes(*rated);
  }
}

void read_usual(const TomlTable& root, UsualBattery& usual) {
  const auto table = root.table("usual");
  if (!table) return;
  const Bounds span{1.0, 240.0, "months, as \"36 months\""};
  usual.life_from_months = read_count(*table, "life_from", "months", span);
  usual.life_to_months = read_count(*table, "life_to", "months", span);
  if (usual.life_to_months < usual.life_from_months)
    table->error("life_to", "before life_from", "count both from the date of manufacture");
  read_number(*table, "weight_lost", {0.01, 0.3, "0.01 to 0.3"}, usual.weight_lost);
  read_number(*table, "gravity_most", {1.28, 1.35, "1.28 to 1.35"}, usual.gravity_most);
  if (const auto volts =
          read_amount(*table, "free_acid_rests_most", "V", {2.1, 2.25, "2.10 to 2.25 V a cell"}))
    usual.free_acid_rests_most = Volt(*volts);
  const auto weights = table->table("weight");
  if (!weights) return;
  for (const std::string& size : weights->keys()) {
    const auto kg = read_amount(*weights, size, "kg", {1.0, 100.0, "kilograms, as \"16.5 kg\""});
    if (kg) usual.weight_kg[upper_ascii(std::string_view(size))] = *kg;
  }
}

void read_procedures(const TomlTable& root, PolicyProcedures& procedures) {
  const auto table = root.table("procedures");
  if (!table) return;
  const auto read = [&](const char* key, std::string& name) {
    if (auto text = table->string(key)) name = std::move(*text);
  };
  read("capacity", procedures.capacity);
  read("capacity_20h", procedures.capacity_20h);
  read("high_rate", procedures.high_rate);
  read("conditioning", procedures.conditioning);
  read("charge", procedures.charge);
}

void read_words(const TomlTable& root, Policy& policy) {
  const TomlTable table = root.need_table("dispositions");
  if (root.has("dispositions")) {
    for (const char letter : letters) {
      const std::string key(1, letter);
      policy.dispositions[letter] = table.need_string(key);
    }
  }
  const auto situations = root.table("situations");
  if (!situations) return;
  for (const char* key : situation_keys) {
    if (auto words = situations->string(key)) policy.situations[key] = std::move(*words);
  }
}

void read_shares(const TomlTable& root, Policy& policy) {
  const Bounds share{0.1, 1.5, "0.1 to 1.5"};
  read_number(root, "share_a", share, policy.share_a);
  read_number(root, "share_b", share, policy.share_b);
  read_number(root, "share_c", share, policy.share_c);
  if (policy.share_a <= policy.share_b || policy.share_b <= policy.share_c) {
    root.error("share_a", "the shares must fall from A over B to C", "for example 1.0, 0.8 and 0.6");
  }
  read_number(root, "guard_factor", {0.0, 3.0, "0 to 3"}, policy.guard_factor);
  read_number(root, "soc_min_to_test", {0.0, 1.0, "0 to 1"}, policy.soc_min_to_test);
}

}  // namespace

tl::expected<Policy, std::vector<Error>> read_policy(std::string_view text, const std::string& file) {
  TomlDocument document = TomlDocument::parse(text, file);
  const TomlTable& root = document.root();
  Policy policy;
  policy.file = file;
  policy.hash = content_hash(text);
  policy.name = root.need_string("name");
  const std::int64_t version = root.need_integer("version");
  if (root.has("version") && (version < 1 || version > 1000000)) {
    root.error("version", "a version is a whole number from 1", "count up when the policy changes");
  }
  policy.version = static_cast<int>(std::clamp<std::int64_t>(version, 1, 1000000));
  read_criteria(root, policy);
  read_shares(root, policy);
  policy.high_rate_draw_required = root.boolean("high_rate_draw_required").value_or(false);
  policy.minutes_required = root.boolean("minutes_required").value_or(false);
  policy.unattended_hard_charges = root.boolean("unattended_hard_charges").value_or(false);
  policy.early_reached = root.boolean("early_reached").value_or(false);
  policy.early_missed = root.boolean("early_missed").value_or(false);
  read_discharge(root, policy);
  read_calibration(root, policy.calibration);
  read_limits_of_testing(root, policy);
  read_sizes(root, policy);
  read_retention(root, policy);
  read_usual(root, policy.usual);
  policy.triage = read_triage(root);
  read_warranty(root, policy);
  read_second_life(root, policy);
  read_procedures(root, policy.procedures);
  read_words(root, policy);
  document.finish();
  if (!document.errors().empty()) return tl::unexpected(document.errors());
  return policy;
}

tl::expected<Policy, std::vector<Error>> load_policy(const std::string& path) {
  const Result<std::string> text = read_text_file(path);
  if (!text) return tl::unexpected(std::vector<Error>{text.error()});
  return read_policy(*text, path);
}

}  // namespace leadwright
