// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/accuracy.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "daemon/battery/uncertainty.h"
#include "daemon/store/json.h"

namespace leadwright {

namespace {

constexpr const char* nothing = "nothing";

struct Ratios {
  double sum = 0.0;
  double squares = 0.0;
  double sum_if_filled = 0.0;
  Count covered;

  void add(double ratio, double ratio_if_filled, bool is_covered) {
    sum += ratio;
    sum_if_filled += ratio_if_filled;
    squares += ratio * ratio;
    ++covered.trials;
    if (is_covered) ++covered.hits;
  }
  MinutesAccuracy of(const std::string& kind) const {
    const double n = covered.trials;
    const double mean = sum / n;
    const double variance = n > 1.0 ? (squares - n * mean * mean) / (n - 1.0) : 0.0;
    return {kind, mean - 1.0, std::sqrt(std::max(variance, 0.0)), covered, sum_if_filled / n - 1.0};
  }
};

/// Kinds with a severity in three parts, each a row.
std::string told_kind(const ReturnCase& one) {
  if (!one.severity) return one.kind;
  constexpr std::array parts{"mild", "middling", "severe"};
  const auto part = static_cast<std::size_t>(*one.severity * static_cast<double>(parts.size()));
  return one.kind + ", " + parts[std::min(part, parts.size() - 1)];
}

}  // namespace

std::vector<MinutesAccuracy> minutes_accuracy(const std::vector<RehearsedReturn>& all) {
  std::map<std::string, Ratios> kinds;
  Ratios every;
  for (const RehearsedReturn& each : all) {
    const auto& stated = each.visit.minutes;
    const double truth = as_minutes(each.truth.minutes);
    const double if_filled = as_minutes(each.truth.minutes_if_filled);
    if (!stated || stated->measurand != Measurand::reserve_capacity_ref || truth <= 0.0) continue;
    const bool is_covered = std::abs(stated->value - truth) <= coverage_factor * stated->u;
    const double ratio_if_filled = stated->value / (if_filled > 0.0 ? if_filled : truth);
    kinds[each.one.kind].add(stated->value / truth, ratio_if_filled, is_covered);
    every.add(stated->value / truth, ratio_if_filled, is_covered);
  }
  std::vector<MinutesAccuracy> rows;
  rows.reserve(kinds.size() + 1);
  for (const auto& [kind, ratios] : kinds) rows.push_back(ratios.of(kind));
  if (!rows.empty()) rows.push_back(every.of("all"));
  return rows;
}

std::vector<ToldRow> told_by_kind(const std::vector<RehearsedReturn>& all) {
  std::map<std::string, ToldRow> kinds;
  for (const RehearsedReturn& each : all) {
    if (each.visit.refused) continue;
    const std::string kind = told_kind(each.one);
    ToldRow& row = kinds[kind];
    row.kind = kind;
    ++row.batteries;
    const std::set<std::string> told(each.visit.told.begin(), each.visit.told.end());
    for (const std::string& what : told) ++row.told[what];
    if (told.empty()) ++row.told[nothing];
  }
  std::vector<ToldRow> rows;
  rows.reserve(kinds.size());
  for (auto& [kind, row] : kinds) rows.push_back(std::move(row));
  return rows;
}

std::string accuracy_table(const std::vector<MinutesAccuracy>& rows) {
  if (rows.empty()) return "No minutes were measured to their end.\n";
  std::string text =
      "minutes stated against the truth  measured    bias  spread  truth within +- 2 u  (95 % interval)  "
      "bias if "
      "it could be filled\n";
  for (const MinutesAccuracy& row : rows) {
    const ShareInterval interval = row.covered.interval();
    text += fmt::format(
        "  {:<30} {:>9}  {:+5.1f} %  {:4.1f} %  {:>17.1f} %  ({:.1f} to {:.1f} %)  {:+5.1f} %\n", row.kind,
        row.covered.trials, 100.0 * row.bias, 100.0 * row.spread, 100.0 * row.covered.share(),
        100.0 * interval.low, 100.0 * interval.high, 100.0 * row.bias_if_filled);
  }
  return text;
}

std::string told_table(const std::vector<ToldRow>& rows) {
  std::string text = "told of faults and causes, by what it is (refused at the counter left out)\n";
  for (const ToldRow& row : rows) {
    text += fmt::format("  {:<22} {:>5}:", row.kind, row.batteries);
    const char* separator = " ";
    for (const auto& [what, times] : row.told) {
      text += fmt::format("{}{} {:.0f} %", separator, what, 100.0 * times / row.batteries);
      separator = ", ";
    }
    text.append("\n");
  }
  return text;
}

std::string accuracy_json(const std::vector<MinutesAccuracy>& rows) {
  std::string text = "[";
  for (const MinutesAccuracy& row : rows) {
    const ShareInterval interval = row.covered.interval();
    text +=
        fmt::format(R"({}{{"kind":{},"measured":{},"bias":{},"spread":{},"covered":{},)"
                    R"("wilson_95_low":{},"wilson_95_high":{},"bias_if_filled":{}}})",
                    text.size() > 1 ? "," : "", json_string(row.kind), row.covered.trials,
                    json_number(row.bias), json_number(row.spread), json_number(row.covered.share()),
                    json_number(interval.low), json_number(interval.high), json_number(row.bias_if_filled));
  }
  return text + "]";
}

std::string told_json(const std::vector<ToldRow>& rows) {
  std::string text = "[";
  for (const ToldRow& row : rows) {
    std::string told = "{";
    for (const auto& [what, times] : row.told)
      told += fmt::format("{}{}:{}", told.size() > 1 ? "," : "", json_string(what), times);
    text += fmt::format(R"({}{{"kind":{},"batteries":{},"told":{}}}}})", text.size() > 1 ? "," : "",
                        json_string(row.kind), row.batteries, told);
  }
  return text + "]";
}

}  // namespace leadwright
