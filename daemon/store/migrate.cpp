// SPDX-License-Identifier: Apache-2.0
#include <sqlite3.h>

#include <filesystem>

#include "daemon/battery/people.h"
#include "daemon/store/schema.h"

namespace leadwright {

namespace {

/// Marks the file as ours in its header ("LDWR"), so that another program's database is not taken for one.
constexpr std::int64_t application_id = 0x4c445752;
constexpr int backups_max = 1000;

Result<std::string> free_name(const std::string& folder, std::int64_t version) {
  std::error_code failed;
  std::filesystem::create_directories(folder, failed);
  if (failed) return fail(Errc::io, "can't make the folder for backups: " + failed.message(), folder);
  const std::string stem = folder + "/leadwright-schema-" + std::to_string(version);
  for (int number = 1; number <= backups_max; ++number) {
    std::string name = stem;
    if (number > 1) name.append("-").append(std::to_string(number));
    name += ".sqlite";
    if (!std::filesystem::exists(name)) return name;
  }
  return fail(Errc::io, "too many backups of one schema", folder, "remove the oldest of them");
}

Result<void> back_up(Database& database, std::int64_t version, const std::string& folder) {
  const auto name = free_name(folder, version);
  if (!name) return tl::unexpected<Error>(name.error());
  auto copy = Database::open(*name, Database::Access::read_write);
  if (!copy) return pass(copy);
  sqlite3_backup* backup = sqlite3_backup_init(copy->handle(), "main", database.handle(), "main");
  if (backup == nullptr) return tl::unexpected<Error>(copy->error(sqlite3_errcode(copy->handle())));
  const int stepped = sqlite3_backup_step(backup, -1);
  const int finished = sqlite3_backup_finish(backup);
  if (stepped != SQLITE_DONE || finished != SQLITE_OK) {
    return tl::unexpected<Error>(copy->error(finished != SQLITE_OK ? finished : stepped));
  }
  return {};
}

/// person_of(TEXT) for the steps: people.h's.
Result<void> add_functions(Database& database) {
  const auto person = [](sqlite3_context* context, int, sqlite3_value** values) {
    const auto* text = static_cast<const char*>(sqlite3_value_blob(values[0]));
    const auto size = static_cast<std::size_t>(sqlite3_value_bytes(values[0]));
    const std::string_view name = person_of(text == nullptr ? "" : std::string_view(text, size));
    sqlite3_result_text64(context, name.empty() ? "" : name.data(), name.size(), SQLITE_TRANSIENT,
                          SQLITE_UTF8);
  };
  const int code =
      sqlite3_create_function_v2(database.handle(), "person_of", 1, SQLITE_UTF8 | SQLITE_DETERMINISTIC,
                                 nullptr, person, nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) return tl::unexpected<Error>(database.error(code));
  return {};
}

Result<void> apply(Database& database, const SchemaStep& step) {
  std::string script = "BEGIN IMMEDIATE;\n" + std::string(step.sql);
  script += "\nPRAGMA application_id = " + std::to_string(application_id);
  script += ";\nPRAGMA user_version = " + std::to_string(step.version) + ";\nCOMMIT;";
  auto done = database.execute(script);
  if (!done) {
    // The first error is the one to report; without a transaction this second statement may fail too.
    static_cast<void>(database.execute("ROLLBACK"));
    return tl::unexpected<Error>(std::move(done.error()));
  }
  return {};
}

}  // namespace

Result<void> refuse_newer(const Database& database, int version, int latest) {
  if (version <= latest) return {};
  return fail(Errc::unsupported,
              "the database has schema " + std::to_string(version) + ", newer than this version's " +
                  std::to_string(latest),
              database.path(), "use the newer leadwrightd, or restore a backup that was made before it");
}

Result<void> migrate(Database& database, std::span<const SchemaStep> steps,
                     const std::string& backup_folder) {
  const auto version = database.integer("PRAGMA user_version");
  if (!version) return tl::unexpected<Error>(version.error());
  const auto mark = database.integer("PRAGMA application_id");
  if (!mark) return tl::unexpected<Error>(mark.error());
  const auto tables = database.integer("SELECT count(*) FROM sqlite_schema");
  if (!tables) return tl::unexpected<Error>(tables.error());
  if (*mark != application_id && (*tables != 0 || *version != 0 || *mark != 0)) {
    return fail(Errc::bad_input, "this database belongs to another program", database.path(),
                "name another state folder");
  }
  const int latest = steps.empty() ? 0 : steps.back().version;
  auto known = refuse_newer(database, static_cast<int>(*version), latest);
  if (!known) return known;
  auto extended = add_functions(database);
  if (!extended) return extended;
  bool is_saved = *version == 0;
  for (const SchemaStep& step : steps) {
    if (step.version <= *version) continue;
    if (!is_saved) {
      auto saved = back_up(database, *version, backup_folder);
      if (!saved) return saved;
      is_saved = true;
    }
    auto applied = apply(database, step);
    if (!applied) return applied;
  }
  return {};
}

}  // namespace leadwright
