// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/database.h"

#include <sqlite3.h>

#include <utility>

namespace leadwright {

namespace {

constexpr int busy_timeout_ms = 200;

Error error_of(sqlite3* database, const std::string& path, int code) {
  const std::string said = database != nullptr ? sqlite3_errmsg(database) : sqlite3_errstr(code);
  switch (code & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return {Errc::busy, "the database is in use: " + said, path, "end the other program that has it open"};
    case SQLITE_FULL:
      return {Errc::io, "the disk is full: " + said, path, "free some space; nothing of this write was kept"};
    case SQLITE_CORRUPT:
      return {Errc::io, "the database is damaged: " + said, path, "keep the file; restore the newest backup"};
    case SQLITE_NOTADB:
      return {Errc::bad_input, "this file is no database, or its start is damaged: " + said, path,
              "keep the file; restore the newest backup, or name another state folder"};
    case SQLITE_CANTOPEN:
    case SQLITE_PERM:
      return {Errc::io, "can't open the database for this use: " + said, path,
              "check that the folder exists and belongs to the user of the daemon"};
    case SQLITE_READONLY:
      return {
          Errc::io, "the database can't be written: " + said, path,
          "see whether its disk is mounted read-only (after an error the kernel does that by itself), and "
          "whether its folder belongs to the user of the daemon; nothing of this write was kept"};
    case SQLITE_IOERR:
      return {Errc::io, "the disk failed: " + said, path, "check the disk, then start the daemon again"};
    default:
      return {Errc::bug, "the database refused a statement: " + said, path, "report this"};
  }
}

}  // namespace

Result<Database> Database::open(const std::string& path, Access access) {
  const int flags =
      (access == Access::read_only ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE) |
      SQLITE_OPEN_NOMUTEX;
  sqlite3* handle = nullptr;
  const int code = sqlite3_open_v2(path.c_str(), &handle, flags, nullptr);
  Database database(handle, path);
  if (code != SQLITE_OK) return tl::unexpected<Error>(error_of(handle, path, code));
  sqlite3_extended_result_codes(handle, 1);
  sqlite3_busy_timeout(handle, busy_timeout_ms);
  if (access == Access::read_only) {
    // Two connections that checkpoint at one moment can corrupt the file in Debian 12's SQLite.
    sqlite3_db_config(handle, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
    sqlite3_wal_autocheckpoint(handle, 0);
  }
  return database;
}

Database::Database(Database&& other) noexcept
    : handle_(std::exchange(other.handle_, nullptr)), path_(std::move(other.path_)) {}

Database& Database::operator=(Database&& other) noexcept {
  std::swap(handle_, other.handle_);
  path_.swap(other.path_);
  return *this;
}

Database::~Database() {
  sqlite3_close_v2(handle_);
}

Result<void> Database::execute(std::string_view sql) {
  const std::string text(sql);
  const int code = sqlite3_exec(handle_, text.c_str(), nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) return tl::unexpected<Error>(error(code));
  return {};
}

Result<std::int64_t> Database::integer(std::string_view sql) {
  auto statement = Statement::prepare(*this, sql);
  if (!statement) return pass(statement);
  const auto row = statement->next();
  if (!row) return tl::unexpected<Error>(row.error());
  return *row ? statement->integer(0) : 0;
}

Result<std::string> Database::text(std::string_view sql) {
  auto statement = Statement::prepare(*this, sql);
  if (!statement) return pass(statement);
  const auto row = statement->next();
  if (!row) return tl::unexpected<Error>(row.error());
  return *row ? statement->text(0) : std::string();
}

Error Database::error(int code) const {
  return error_of(handle_, path_, code);
}

bool Database::is_full() const {
  return (sqlite3_errcode(handle_) & 0xff) == SQLITE_FULL;
}

Result<Statement> Statement::prepare(Database& database, std::string_view sql) {
  sqlite3_stmt* handle = nullptr;
  const int code = sqlite3_prepare_v3(database.handle(), sql.data(), static_cast<int>(sql.size()),
                                      SQLITE_PREPARE_PERSISTENT, &handle, nullptr);
  if (code != SQLITE_OK) return tl::unexpected<Error>(database.error(code));
  return Statement(database, handle);
}

Statement::Statement(Statement&& other) noexcept
    : database_(other.database_),
      path_(std::move(other.path_)),
      handle_(std::exchange(other.handle_, nullptr)) {}

Statement& Statement::operator=(Statement&& other) noexcept {
  std::swap(database_, other.database_);
  path_.swap(other.path_);
  std::swap(handle_, other.handle_);
  return *this;
}

Statement::~Statement() {
  sqlite3_finalize(handle_);
}

void Statement::begin() {
  sqlite3_reset(handle_);
  sqlite3_clear_bindings(handle_);
}

Result<void> Statement::finish() {
  const int code = sqlite3_step(handle_);
  if (code != SQLITE_DONE && code != SQLITE_ROW) {
    Error failed = error(code);
    sqlite3_reset(handle_);
    return tl::unexpected<Error>(std::move(failed));
  }
  sqlite3_reset(handle_);
  return {};
}

Result<bool> Statement::next() {
  const int code = sqlite3_step(handle_);
  if (code == SQLITE_ROW) return true;
  if (code != SQLITE_DONE) {
    Error failed = error(code);
    sqlite3_reset(handle_);
    return tl::unexpected<Error>(std::move(failed));
  }
  sqlite3_reset(handle_);
  return false;
}

Error Statement::error(int code) const {
  return error_of(database_, path_, code);
}

bool Statement::is_null(int column) const {
  return sqlite3_column_type(handle_, column) == SQLITE_NULL;
}
std::int64_t Statement::integer(int column) const {
  return sqlite3_column_int64(handle_, column);
}
double Statement::real(int column) const {
  return sqlite3_column_double(handle_, column);
}

std::string Statement::text(int column) const {
  const auto* bytes = static_cast<const char*>(sqlite3_column_blob(handle_, column));
  if (bytes == nullptr) return {};
  return {bytes, static_cast<std::size_t>(sqlite3_column_bytes(handle_, column))};
}

Bytes Statement::blob(int column) const {
  const auto* bytes = static_cast<const unsigned char*>(sqlite3_column_blob(handle_, column));
  if (bytes == nullptr) return {};
  return {bytes, bytes + sqlite3_column_bytes(handle_, column)};
}

std::optional<double> Statement::maybe_real(int column) const {
  if (is_null(column)) return std::nullopt;
  return real(column);
}

std::optional<std::int64_t> Statement::maybe_integer(int column) const {
  if (is_null(column)) return std::nullopt;
  return integer(column);
}

// A failed binding leaves NULL, which the tables refuse where it matters; the statement then reports it.
void Statement::bind(int index, std::int64_t value) {
  sqlite3_bind_int64(handle_, index, value);
}
void Statement::bind(int index, double value) {
  sqlite3_bind_double(handle_, index, value);
}
void Statement::bind(int index, std::string_view value) {
  sqlite3_bind_text64(handle_, index, value.empty() ? "" : value.data(), value.size(), SQLITE_TRANSIENT,
                      SQLITE_UTF8);
}
void Statement::bind(int index, std::span<const unsigned char> value) {
  // No bytes at all are not nothing: a null address would be NULL.
  const void* const bytes = value.empty() ? "" : static_cast<const void*>(value.data());
  sqlite3_bind_blob64(handle_, index, bytes, value.size(), SQLITE_TRANSIENT);
}
void Statement::bind_nothing(int index) {
  sqlite3_bind_null(handle_, index);
}

void Statement::bind(int index, const std::optional<std::int64_t>& value) {
  value ? bind(index, *value) : bind_nothing(index);
}
void Statement::bind(int index, const std::optional<double>& value) {
  value ? bind(index, *value) : bind_nothing(index);
}
void Statement::bind(int index, const std::optional<std::string>& value) {
  value ? bind(index, *value) : bind_nothing(index);
}

}  // namespace leadwright
