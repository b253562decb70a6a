// SPDX-License-Identifier: Apache-2.0
// Thin ownership of SQLite handles with errors as values. For: the other files of this folder only. Owned by
// one thread at a time. Never: knows what is stored. Read next: schema.h, records.h.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "protocol/result.h"

struct sqlite3;
struct sqlite3_stmt;

namespace leadwright {

using Bytes = std::vector<unsigned char>;

/// Errors: busy (locked by another), io (disk full, disk or file damaged), bad_input (not a database), bug (a
/// constraint or a statement of ours). `where` is the path.
class Database {
 public:
  enum class Access { read_write, read_only };

  /// Read-write makes the file if it is absent.
  static Result<Database> open(const std::string& path, Access access);
  Database(Database&& other) noexcept;
  Database& operator=(Database&& other) noexcept;
  ~Database();

  const std::string& path() const { return path_; }
  sqlite3* handle() const { return handle_; }
  /// Runs statements that take no values and whose rows nobody needs.
  Result<void> execute(std::string_view sql);
  /// First column of the first row.
  Result<std::int64_t> integer(std::string_view sql);
  Result<std::string> text(std::string_view sql);
  /// The error of the last call on this connection, as a value.
  Error error(int code) const;
  /// True if the last call failed for want of space.
  bool is_full() const;

 private:
  Database(sqlite3* handle, std::string path) : handle_(handle), path_(std::move(path)) {}
  sqlite3* handle_ = nullptr;
  std::string path_;
};

/// A prepared statement. Binding and reading columns follow the order given in SQL.
class Statement {
 public:
  static Result<Statement> prepare(Database& database, std::string_view sql);
  /// No statement; may only be assigned to or destroyed.
  Statement() = default;
  Statement(Statement&& other) noexcept;
  Statement& operator=(Statement&& other) noexcept;
  ~Statement();

  /// Binds every parameter, runs to the end, and is ready for the next time.
  template <class... Values>
  Result<void> run(const Values&... values) {
    bind_all(values...);
    return finish();
  }
  /// Binds every parameter; rows then come from next().
  template <class... Values>
  void bind_all(const Values&... values) {
    begin();
    int index = 0;
    (bind(++index, values), ...);
  }
  /// True if a row is there, false at the end.
  Result<bool> next();

  bool is_null(int column) const;
  std::int64_t integer(int column) const;
  double real(int column) const;
  std::string text(int column) const;
  Bytes blob(int column) const;
  std::optional<double> maybe_real(int column) const;
  std::optional<std::int64_t> maybe_integer(int column) const;
  bool flag(int column) const { return integer(column) != 0; }

 private:
  Statement(Database& database, sqlite3_stmt* handle)
      : database_(database.handle()), path_(database.path()), handle_(handle) {}
  void begin();
  Result<void> finish();
  Error error(int code) const;
  void bind(int index, std::int64_t value);
  void bind(int index, int value) { bind(index, static_cast<std::int64_t>(value)); }
  void bind(int index, bool value) { bind(index, static_cast<std::int64_t>(value ? 1 : 0)); }
  void bind(int index, double value);
  void bind(int index, std::string_view value);
  void bind(int index, const std::string& value) { bind(index, std::string_view(value)); }
  void bind(int index, const char* value) { bind(index, std::string_view(value)); }
  void bind(int index, std::span<const unsigned char> value);
  void bind(int index, const Bytes& value) { bind(index, std::span<const unsigned char>(value)); }
  void bind_nothing(int index);
  // Out of line: GCC 12 takes the unused inside of an inlined empty optional for an uninitialised value.
  void bind(int index, const std::optional<std::int64_t>& value);
  void bind(int index, const std::optional<double>& value);
  void bind(int index, const std::optional<std::string>& value);

  sqlite3* database_ = nullptr;
  std::string path_;
  sqlite3_stmt* handle_ = nullptr;
};

}  // namespace leadwright
