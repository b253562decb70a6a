// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/replay_battery.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <fstream>
#include <sstream>

namespace leadwright {

namespace {

constexpr double current_none_a = 0.01;
constexpr double step_change = 0.05;  // a current that changes by more than this part begins another step
constexpr double value_max = 1e9;     // far beyond any trace; sums and differences stay finite
constexpr VoltPerSecond fall_beyond{0.1};
constexpr Volt block_of_three_max{8.0};
constexpr Ohm gassing_cell{
    0.8};  // P: some 0.3 A at 2.4 V a cell, less than a hundredth of a starter battery's C20

struct Row {
  double time_s;
  double current_a;
  double volts;
  double degc;
};

constexpr std::array<std::string_view, 4> columns{"time_s", "current_a", "terminal_voltage_v",
                                                  "temperature_c"};

std::vector<std::string_view> fields_of(std::string_view line) {
  std::vector<std::string_view> fields;
  while (true) {
    const std::size_t comma = line.find(',');
    fields.push_back(line.substr(0, comma));
    if (comma == std::string_view::npos) return fields;
    line.remove_prefix(comma + 1);
  }
}

std::string at_line(const std::string& name, std::size_t line) {
  return name + ":" + std::to_string(line);
}

/// Index of each of `columns` in the file's heading.
Result<std::array<std::size_t, 4>> heading(std::string_view line, const std::string& name) {
  const std::vector<std::string_view> names = fields_of(line);
  std::array<std::size_t, 4> index{};
  for (std::size_t i = 0; i < columns.size(); ++i) {
    const auto found = std::find(names.begin(), names.end(), columns[i]);
    if (found == names.end()) {
      return fail(Errc::bad_input, "no column " + std::string(columns[i]), at_line(name, 1),
                  "the first line names time_s, current_a, terminal_voltage_v and temperature_c");
    }
    index[i] = static_cast<std::size_t>(found - names.begin());
  }
  return index;
}

Result<Row> row_of(std::string_view line, const std::array<std::size_t, 4>& index, const std::string& where) {
  const std::vector<std::string_view> fields = fields_of(line);
  std::array<double, 4> values{};
  for (std::size_t i = 0; i < index.size(); ++i) {
    if (index[i] >= fields.size()) return fail(Errc::bad_input, "too few fields", where, "mend the file");
    const std::string_view text = fields[index[i]];
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), values[i]);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(values[i])) {
      return fail(Errc::bad_input, "not a number: " + std::string(text), where, "mend the file");
    }
    if (std::abs(values[i]) > value_max) {
      return fail(Errc::bad_input, "an impossible number: " + std::string(text), where, "mend the file");
    }
  }
  return Row{values[0], values[1], values[2], values[3]};
}

Result<std::vector<Row>> rows_of(std::string_view text, const std::string& name) {
  std::vector<Row> rows;
  std::array<std::size_t, 4> index{};
  for (std::size_t number = 1; !text.empty(); ++number) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    if (number == 1) {
      auto named = heading(line, name);
      if (!named) return pass(named);
      index = *named;
      continue;
    }
    if (line.empty()) continue;
    auto row = row_of(line, index, at_line(name, number));
    if (!row) return pass(row);
    if (!rows.empty() && row->time_s < rows.back().time_s) {
      return fail(Errc::bad_input, "time runs backwards", at_line(name, number), "sort the rows by time_s");
    }
    rows.push_back(*row);
  }
  return rows;
}

bool same_step(const Row& a, const Row& b) {
  return std::abs(a.current_a - b.current_a) <= step_change * std::max(a.current_a, b.current_a);
}

}  // namespace

Result<ReplayTrace> parse_replay(std::string_view text, std::string name) {
  auto rows = rows_of(text, name);
  if (!rows) return pass(rows);
  std::size_t end = rows->size();
  while (end > 0 && (*rows)[end - 1].current_a < current_none_a) --end;
  if (end == 0)
    return fail(Errc::bad_input, "no discharge in the trace", name, "give a trace that draws current");
  std::size_t begin = end - 1;
  while (begin > 0 && same_step((*rows)[begin - 1], (*rows)[end - 1])) --begin;

  ReplayTrace trace;
  trace.name = std::move(name);
  trace.temperature = Celsius((*rows)[begin].degc);
  double time = (*rows)[begin > 0 ? begin - 1 : begin].time_s;
  Coulomb delivered;
  for (std::size_t i = begin; i < end; ++i) {
    const Row& row = (*rows)[i];
    delivered += Ampere(row.current_a) * Second(row.time_s - time);
    time = row.time_s;
    trace.delivered.push_back(delivered);
    trace.volts.emplace_back(row.volts);
  }
  for (const Row& row : *rows) trace.highest = std::max(trace.highest, Volt(row.volts));
  trace.cells = trace.highest < block_of_three_max ? 3 : 6;
  return trace;
}

Result<ReplayTrace> load_replay(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) return fail(Errc::io, "can't read the trace", path, "check the path and the permissions");
  std::ostringstream text;
  text << file.rdbuf();
  return parse_replay(text.str(), path);
}

void ReplayBattery::advance(Second time, Ampere discharge) {
  if (discharge.si() < current_none_a) return;
  const Coulomb left = std::max(trace_->delivered.back() - delivered_, Coulomb(0.0));
  const Second until_last = left / discharge;
  delivered_ += discharge * time;
  if (time > until_last) beyond_ += time - until_last;
}

Volt ReplayBattery::terminal(Ampere discharge) const {
  if (discharge < Ampere(0.0)) return trace_->highest - discharge * (gassing_cell * trace_->cells);
  if (discharge.si() < current_none_a) return trace_->highest;
  const auto& delivered = trace_->delivered;
  const auto& volts = trace_->volts;
  if (delivered_ >= delivered.back()) return volts.back() - fall_beyond * beyond_;
  const auto above = std::upper_bound(delivered.begin(), delivered.end(), delivered_);
  if (above == delivered.begin()) return volts.front();
  const auto i = static_cast<std::size_t>(above - delivered.begin());
  const double part = (delivered_ - delivered[i - 1]) / (delivered[i] - delivered[i - 1]);
  return volts[i - 1] + (volts[i] - volts[i - 1]) * part;
}

std::string ReplayBattery::charge_refusal() const {
  return delivered_ > Coulomb(0.0) ? "a replayed trace knows discharge only: " + trace_->name : "";
}

Second ReplayBattery::truth_at_25a() const {
  const Volt end(1.75 * trace_->cells);
  const auto& volts = trace_->volts;
  for (std::size_t i = 0; i < volts.size(); ++i) {
    if (volts[i] > end) continue;
    Coulomb at = trace_->delivered[i];
    if (i > 0) {
      const double part = (volts[i - 1] - end) / (volts[i - 1] - volts[i]);
      at = trace_->delivered[i - 1] + (at - trace_->delivered[i - 1]) * part;
    }
    return at / Ampere(25.0);
  }
  return trace_->delivered.back() / Ampere(25.0) + (volts.back() - end) / fall_beyond;
}

std::string ReplayBattery::description() const {
  return "replay of " + trace_->name + ", " + std::to_string(trace_->cells) + " cells, " +
         std::to_string(static_cast<int>(std::lround(as_ampere_hours(delivered_)))) + " Ah delivered";
}

}  // namespace leadwright
