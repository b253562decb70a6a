// SPDX-License-Identifier: Apache-2.0
#include "tools/client/export_command.h"

#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <filesystem>
#include <fstream>
#include <iostream>

#include "daemon/store/history.h"
#include "daemon/store/json.h"
#include "daemon/store/sqlite_store.h"
#include "tools/client/call.h"
#include "tools/client/cli.h"
#include "tools/client/export_tables.h"
#include "tools/client/stored_history.h"

namespace leadwright {
namespace {

namespace json = boost::json;

constexpr const char* export_help =
    R"(Writes batteries, tickets, runs, findings, faults, grades, overrides, photos and samples, a file each;
config/export.md is their schema. Of a photo what is known of it: leadwright photo save has the picture. Names
of people are left out, but what they typed as a story or a remark is not.
Examples:
  leadwright export out
  leadwright export out --format jsonl --without-samples && jq -r .ticket out/tickets.jsonl
Exit codes: 0 written; 66 no database; 73 the folder can't be made; 74 the disk is full.)";

class TableFile {
 public:
  TableFile(const std::string& folder, const ExportTable& table, ExportFormat format)
      : table_(table),
        format_(format),
        name_(folder + "/" + std::string(table.name) + (format == ExportFormat::csv ? ".csv" : ".jsonl")),
        out_(name_, std::ios::binary | std::ios::trunc) {
    out_ << export_head(table, format);
  }
  void add(const std::string& json_text) {
    out_ << export_row(table_, format_, json_text);
    ++rows_;
  }
  template <class T>
  void add_all(const std::vector<T>& all) {
    for (const T& each : all) add(to_json(each));
  }
  bool is_written() { return static_cast<bool>(out_.flush()); }
  const std::string& name() const { return name_; }
  std::uint64_t rows() const { return rows_; }

 private:
  const ExportTable& table_;
  ExportFormat format_;
  std::string name_;
  std::ofstream out_;
  std::uint64_t rows_ = 0;
};

Result<void> add_samples(TableFile& file, History& history, const std::vector<Run>& runs) {
  for (const Run& run : runs) {
    const auto samples = history.trace(run.id);
    if (!samples) return tl::unexpected<Error>(samples.error());
    for (const Sample& sample : *samples) file.add(sample_json(run.id, sample));
  }
  return {};
}

Result<void> fill(TableFile& file, std::string_view table, const StoredBench& bench, History& history,
                  const ExportOptions& options) {
  if (table == "batteries") file.add_all(bench.batteries);
  if (table == "tickets") file.add_all(bench.tickets);
  if (table == "runs") file.add_all(bench.runs);
  if (table == "findings") file.add_all(bench.findings);
  if (table == "faults") file.add_all(bench.faults);
  if (table == "grades") file.add_all(bench.grades);
  if (table == "overrides") file.add_all(bench.overrides);
  if (table == "photos") file.add_all(bench.photos);
  if (table == "samples" && !options.without_samples) return add_samples(file, history, bench.runs);
  return {};
}

Result<json::object> write_all(History& history, const ExportOptions& options) {
  const auto bench = history.everything();
  if (!bench) return tl::unexpected<Error>(bench.error());
  const ExportFormat format = options.format == "csv" ? ExportFormat::csv : ExportFormat::jsonl;
  json::object rows;
  for (const ExportTable& table : export_tables()) {
    TableFile file(options.folder, table, format);
    const auto filled = fill(file, table.name, *bench, history, options);
    if (!filled) return tl::unexpected<Error>(filled.error());
    if (!file.is_written())
      return fail(Errc::io, "the file can't be written", file.name(), "is the disk full?");
    rows[file.name()] = file.rows();
  }
  return rows;
}

}  // namespace

ExitCode export_all(const ClientOptions& client, const ExportOptions& options) {
  const auto state = state_folder(client);
  if (!state) return report(client, state.error());
  const auto history = open_history(database_path(*state));
  if (!history) return report(client, history.error());
  std::error_code failed;
  std::filesystem::create_directories(options.folder, failed);
  if (failed) {
    report(client,
           {Errc::io, "the folder can't be made: " + failed.message(), options.folder, "name another"});
    return ExitCode::cannot_create;
  }
  const auto rows = write_all(**history, options);
  if (!rows) return report(client, rows.error());
  if (client.json) {
    std::cout << json::serialize(*rows) << "\n";
  } else {
    for (const auto& [name, count] : *rows) std::cout << std::string(name) << ": " << count << " rows\n";
  }
  return std::cout.flush() ? ExitCode::ok : ExitCode::io;
}

void add_export(Cli& cli) {
  auto* const verb = cli.app.add_subcommand("export", "Everything the bench knows, as CSV or JSON Lines");
  const auto to = cli.add<ExportOptions>(verb, export_all);
  verb->fallthrough();
  verb->add_option("folder", to->folder, "where the files go")->required();
  verb->add_option("--format", to->format, "csv or jsonl")->check(CLI::IsMember({"csv", "jsonl"}));
  verb->add_flag("--without-samples", to->without_samples, "leave out what the instruments said");
  verb->footer(export_help);
}

}  // namespace leadwright
