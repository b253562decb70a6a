// SPDX-License-Identifier: Apache-2.0
#include "tools/client/export_tables.h"

#include <array>

#include "tools/client/json_view.h"
#include "tools/client/table.h"

namespace leadwright {
namespace {

namespace json = boost::json;
using Column = std::string_view;

constexpr std::array ticket_columns{Column("ticket"),
                                    Column("battery"),
                                    Column("previous"),
                                    Column("state"),
                                    Column("state_reason"),
                                    Column("place"),
                                    Column("received_at"),
                                    Column("promised_at"),
                                    Column("state_since"),
                                    Column("held_until"),
                                    Column("closing"),
                                    Column("needs_recharge"),
                                    Column("procedures"),
                                    Column("story.complaint"),
                                    Column("story.sold_on"),
                                    Column("story.monitor_report"),
                                    Column("story.receipt"),
                                    Column("inspection.cracked"),
                                    Column("inspection.leaking"),
                                    Column("inspection.swollen"),
                                    Column("inspection.frozen"),
                                    Column("inspection.terminals_damaged"),
                                    Column("inspection.terminals_corroded"),
                                    Column("inspection.vents_blocked"),
                                    Column("inspection.electrolyte_low"),
                                    Column("inspection.label_unreadable"),
                                    Column("inspection.weight_kg"),
                                    Column("inspection.acid"),
                                    Column("inspection.remarks"),
                                    Column("story.monitor"),
                                    Column("inspection.plus_at"),
                                    Column("inspection.post"),
                                    Column("inspection.vehicle_size_code"),
                                    Column("inspection.vehicle_plus_at"),
                                    Column("inspection.vehicle_post"),
                                    Column("said")};
constexpr std::array battery_columns{Column("battery"),
                                     Column("serial"),
                                     Column("chemistry"),
                                     Column("cells"),
                                     Column("cca_a"),
                                     Column("cca_standard"),
                                     Column("reserve_capacity_min"),
                                     Column("reserve_capacity_standard"),
                                     Column("c20_ah"),
                                     Column("c20_standard"),
                                     Column("size_code"),
                                     Column("manufactured_on")};
constexpr std::array run_columns{Column("run"),
                                 Column("ticket"),
                                 Column("place"),
                                 Column("procedure"),
                                 Column("procedure_version"),
                                 Column("procedure_hash"),
                                 Column("started_at"),
                                 Column("ended_at"),
                                 Column("outcome"),
                                 Column("end_reason"),
                                 Column("instruments"),
                                 Column("ends_at_v")};
constexpr std::array finding_columns{Column("ticket"),     Column("run"),    Column("measurand"),
                                     Column("value"),      Column("u"),      Column("method"),
                                     Column("conditions"), Column("budget"), Column("at")};
constexpr std::array fault_columns{Column("ticket"), Column("run"), Column("kind"), Column("evidence"),
                                   Column("at")};
constexpr std::array grade_columns{Column("ticket"),      Column("letter"),      Column("reason"),
                                   Column("policy"),      Column("policy_hash"), Column("software"),
                                   Column("disposition"), Column("rules"),       Column("next_procedure"),
                                   Column("next_why"),    Column("flags"),       Column("warranty"),
                                   Column("second_life"), Column("at")};
constexpr std::array override_columns{
    Column("ticket"), Column("number"),      Column("letter"), Column("own_letter"),  Column("own_reason"),
    Column("why"),    Column("disposition"), Column("state"),  Column("proposed_at"), Column("settled_at")};
constexpr std::array photo_columns{Column("photo"), Column("ticket"), Column("run"),
                                   Column("about"), Column("at"),     Column("bytes")};
constexpr std::array sample_columns{Column("run"),     Column("t_s"),    Column("step"),
                                    Column("volts_v"), Column("amps_a"), Column("case_degc")};

constexpr std::array tables{
    ExportTable{"batteries", battery_columns},  ExportTable{"tickets", ticket_columns},
    ExportTable{"runs", run_columns},           ExportTable{"findings", finding_columns},
    ExportTable{"faults", fault_columns},       ExportTable{"grades", grade_columns},
    ExportTable{"overrides", override_columns}, ExportTable{"photos", photo_columns},
    ExportTable{"samples", sample_columns}};

/// "story.receipt" within {"story":{"receipt":..}}.
const json::value& found(const json::value& row, std::string_view column) {
  const auto dot = column.find('.');
  if (dot == std::string_view::npos) return member(row, column);
  return member(member(row, column.substr(0, dot)), column.substr(dot + 1));
}

/// Plain decimals, which every spreadsheet reads.
std::string plain_text(const json::value& value) {
  if (!value.is_double()) return words(value);
  std::string text = decimal(value.get_double(), 9);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

/// The members of the table's columns alone: whom an override names stays at the bench.
std::string json_row(const ExportTable& table, const json::value& row) {
  json::object kept;
  for (const std::string_view column : table.columns) {
    const std::string_view key = column.substr(0, column.find('.'));
    kept[json::string_view(key.data(), key.size())] = member(row, key);
  }
  return json::serialize(kept) + "\n";
}

}  // namespace

std::span<const ExportTable> export_tables() {
  return tables;
}

std::string csv_cell(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
  std::string quoted = "\"";
  for (const char c : text) quoted.append(c == '"' ? 2 : 1, c);
  return quoted + "\"";
}

std::string export_head(const ExportTable& table, ExportFormat format) {
  if (format == ExportFormat::jsonl) return {};
  std::string line;
  for (const std::string_view column : table.columns) line.append(line.empty() ? "" : ",").append(column);
  return line + "\n";
}

std::string export_row(const ExportTable& table, ExportFormat format, const std::string& json) {
  const auto row = parse_json(json);
  if (!row) return {};
  if (format == ExportFormat::jsonl) return json_row(table, *row);
  std::string line;
  for (const std::string_view column : table.columns) {
    if (column != table.columns.front()) line += ',';
    line += csv_cell(plain_text(found(*row, column)));
  }
  return line + "\n";
}

}  // namespace leadwright
