// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/sqlite_open.h"

#include <sqlite3.h>

#include "daemon/store/schema.h"

namespace leadwright {

namespace {

Result<void> check_whole(Database& database) {
  const auto said = database.text("PRAGMA quick_check(1)");
  if (!said) return tl::unexpected<Error>(said.error());
  if (*said == "ok") return {};
  return fail(Errc::io, "the database is damaged: " + *said, database.path(),
              "keep the file; restore the newest backup, or name another state folder");
}

/// Before WAL is switched on, so that a file that we refuse stays as it is.
Result<void> set_up(Database& database) {
  const auto mode = database.text("PRAGMA journal_mode = WAL");
  if (!mode) return tl::unexpected<Error>(mode.error());
  if (*mode != "wal") {
    return fail(Errc::io, "this file system can't hold a write-ahead log", database.path(),
                "put the state folder on a local disk");
  }
  return database.execute(
      "PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA journal_size_limit = 16777216");
}

Result<void> check_kind(Database& database, bool simulated) {
  const auto rows = database.integer("SELECT count(*) FROM meta");
  if (!rows) return tl::unexpected<Error>(rows.error());
  if (*rows == 0) {
    return database.execute(simulated ? "INSERT INTO meta (id, simulated) VALUES (1, 1)"
                                      : "INSERT INTO meta (id, simulated) VALUES (1, 0)");
  }
  const auto kind = database.integer("SELECT simulated FROM meta");
  if (!kind) return tl::unexpected<Error>(kind.error());
  if ((*kind != 0) == simulated) return {};
  return fail(Errc::refused,
              simulated ? "this database holds real work and this bench is simulated"
                        : "this database holds simulated work and this bench is real",
              database.path(), "name another state folder with --state; the two are never mixed");
}

}  // namespace

Result<Database> open_for_writing(const StoreOptions& options) {
  auto database = Database::open(database_path(options.folder), Database::Access::read_write);
  if (!database) return database;
  auto step = check_whole(*database);
  // What is erased is not to be found in a page that nothing uses any more, also by the schema's steps.
  if (step) step = database->execute("PRAGMA secure_delete = ON");
  if (step) step = migrate(*database, schema_steps(), options.folder + "/backups");
  if (step) step = set_up(*database);
  if (step) step = check_kind(*database, options.simulated);
  if (!step) return pass(step);
  // The daemon before may have died between an erasure and the emptying of its log.
  static_cast<void>(checkpoint(*database, true));
  return database;
}

bool checkpoint(Database& database, bool truncate) {
  int in_log = -1;
  int moved = -1;
  const int mode = truncate ? SQLITE_CHECKPOINT_TRUNCATE : SQLITE_CHECKPOINT_PASSIVE;
  const int code = sqlite3_wal_checkpoint_v2(database.handle(), nullptr, mode, &in_log, &moved);
  return code == SQLITE_OK && in_log == moved;
}

WalWatch::WalWatch(Database& database) {
  const auto hook = [](void* self, sqlite3*, const char*, int pages) {
    static_cast<WalWatch*>(self)->pages_ = pages;
    return SQLITE_OK;
  };
  sqlite3_wal_hook(database.handle(), hook, this);
}

}  // namespace leadwright
