// SPDX-License-Identifier: Apache-2.0
#include "tools/client/run_commands.h"

#include <array>
#include <boost/json/array.hpp>
#include <iostream>
#include <vector>

#include "tools/client/call.h"
#include "tools/client/json_view.h"
#include "tools/client/table.h"

namespace leadwright {
namespace {

namespace json = boost::json;

/// Lines of the table for people; the CSV has all.
constexpr std::size_t shown_max = 40;
constexpr std::array trace_columns{"t_s", "step", "volts_v", "amps_a", "case_degc"};

/// As the daemon wrote it, but plain decimals, which every spreadsheet reads.
std::string field(const json::value& value) {
  if (value.is_double()) {
    std::string text = decimal(value.get_double(), 9);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
  }
  return words(value);
}

const json::array* samples_of(const json::value& trace) {
  const auto& samples = member(trace, "samples");
  return samples.is_array() ? &samples.get_array() : nullptr;
}

std::string show_trace(const std::string& body) {
  const auto trace = parse_json(body);
  const auto* const samples = trace ? samples_of(*trace) : nullptr;
  if (samples == nullptr) return body + "\n";
  std::vector<std::vector<std::string>> rows{{"SECONDS", "STEP", "VOLTS", "AMPS OUT", "CASE DEGC"}};
  const std::size_t every = samples->size() / shown_max + 1;
  for (std::size_t i = 0; i < samples->size(); i += every) {
    auto& row = rows.emplace_back();
    for (const auto* column : trace_columns) row.push_back(field(member((*samples)[i], column)));
  }
  const std::string part = every > 1 ? std::to_string(rows.size() - 1) + " of " +
                                           std::to_string(samples->size()) + " samples; --csv gives all\n"
                                     : "";
  return table(rows) + part;
}

}  // namespace

Result<std::string> trace_csv(const std::string& body) {
  const auto trace = parse_json(body);
  const auto* const samples = trace ? samples_of(*trace) : nullptr;
  if (samples == nullptr) return fail(Errc::garbled, "the bench's answer is not a trace", "run");
  std::string text;
  for (const auto* column : trace_columns) text.append(text.empty() ? "" : ",").append(column);
  text += '\n';
  for (const auto& sample : *samples) {
    std::string line;
    for (const auto* column : trace_columns) {
      line.append(column == trace_columns.front() ? "" : ",").append(field(member(sample, column)));
    }
    text.append(line).append("\n");
  }
  return text;
}

ExitCode run_trace(const ClientOptions& client, const RunTraceOptions& options) {
  const std::string path = "/api/v1/runs/" + path_segment(options.run) + "/trace";
  if (options.csv.empty()) return run_ask(client, {"GET", path, ""}, show_trace);
  auto body = ask(client, {"GET", path + "?every=1", ""});
  if (!body) return report(client, body.error());
  const auto csv = trace_csv(*body);
  if (!csv) return report(client, csv.error());
  const auto trace = parse_json(*body);
  if (const auto every = number(member(*trace, "every")); every && *every > 1.0) {
    std::cerr << "leadwright: the run is going on: one of every " << decimal(*every, 0)
              << " samples; all of them when it has ended\n";
  }
  return write_text(client, *csv, options.csv, "--csv");
}

}  // namespace leadwright
