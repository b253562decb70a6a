// SPDX-License-Identifier: Apache-2.0
// What the bench knows as tables: one row a ticket, run, finding, fault, grade, override or sample.
// config/export.md is their schema. Pure; any thread.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace leadwright {

enum class ExportFormat { csv, jsonl };

struct ExportTable {
  std::string_view name;                      ///< of its file: "tickets"
  std::span<const std::string_view> columns;  ///< units at their ends; "story.receipt" lies in an object
};

/// In the order in which they are written.
std::span<const ExportTable> export_tables();

/// The heading of a CSV file; empty for JSON Lines.
std::string export_head(const ExportTable& table, ExportFormat format);
/// One row with its line end. `json` is the object that the API gives for it; lists stay JSON in a cell.
std::string export_row(const ExportTable& table, ExportFormat format, const std::string& json);

/// RFC 4180: quoted where it must be.
std::string csv_cell(std::string_view text);

}  // namespace leadwright
