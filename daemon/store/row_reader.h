// SPDX-License-Identifier: Apache-2.0
// Rows of a query as values, with the first thing in them that can't be understood. Private to this folder:
// record_reader.cpp alone includes it. One thread; lives no longer than its database.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "daemon/battery/ticket.h"
#include "daemon/store/database.h"
#include "protocol/result.h"

namespace leadwright {

/// One row under reading: collects the first thing that can't be understood.
class Row {
 public:
  Row(const Statement& from, const char* table) : from_(from), table_(table) {}

  std::int64_t integer(int column) const { return from_.integer(column); }
  double real(int column) const { return from_.real(column); }
  std::string text(int column) const { return from_.text(column); }
  bool flag(int column) const { return from_.flag(column); }
  bool is_null(int column) const { return from_.is_null(column); }
  Utc at(int column) const { return Utc(from_.integer(column)); }
  std::optional<Utc> maybe_at(int column) const {
    return is_null(column) ? std::nullopt : std::optional(at(column));
  }
  template <class T>
  std::optional<T> maybe(int column) const {
    return is_null(column) ? std::nullopt : std::optional(T(real(column)));
  }
  RunId run(int column) const { return RunId{from_.integer(column)}; }

  /// The value of a stored word by its parser.
  template <class Parse>
  auto known(int column, Parse parse) {
    const std::string stored = text(column);
    const auto value = parse(stored);
    if (!value) note("unknown word '" + stored + "'");
    return value.value_or(typename decltype(parse(stored))::value_type{});
  }
  template <class T>
  T list(const Result<T>& read) {
    if (read) return *read;
    note(read.error().what);
    return {};
  }
  template <class T, class FromUnit>
  std::optional<Rating<T>> rating(int column, FromUnit from_unit) {
    if (is_null(column)) return std::nullopt;
    return Rating<T>{from_unit(real(column)), known(column + 1, rating_standard_of)};
  }

  Result<void> verdict() const {
    if (wrong_.empty()) return {};
    return fail(Errc::garbled, "row " + std::to_string(integer(0)) + " can't be read: " + wrong_, table_,
                "was the database changed by another program, or written by a newer version?");
  }

 private:
  void note(std::string what) {
    if (wrong_.empty()) wrong_ = std::move(what);
  }
  const Statement& from_;
  const char* table_;
  std::string wrong_;
};

template <class T, class ToValue>
Result<std::vector<T>> values(Statement& statement, const char* table, ToValue to_value) {
  std::vector<T> all;
  for (;;) {
    const auto more = statement.next();
    if (!more) return tl::unexpected<Error>(more.error());
    if (!*more) return all;
    Row row(statement, table);
    all.push_back(to_value(row));
    const auto verdict = row.verdict();
    if (!verdict) return tl::unexpected<Error>(verdict.error());
  }
}

/// Reads all values of a kind into `into`; keeps the first error of several calls.
class Loader {
 public:
  explicit Loader(Database& database) : database_(database) {}

  template <class T, class ToValue>
  void read(std::vector<T>& into, const char* table, std::string_view sql, ToValue to_value) {
    if (failed_) return;
    auto statement = Statement::prepare(database_, sql);
    if (!statement) return note(statement.error());
    auto all = values<T>(*statement, table, to_value);
    if (!all) return note(all.error());
    into = std::move(*all);
  }
  std::int64_t integer(std::string_view sql) {
    const auto value = database_.integer(sql);
    if (!value) note(value.error());
    return value.value_or(0);
  }
  const std::optional<Error>& failed() const { return failed_; }

 private:
  void note(Error error) {
    if (!failed_) failed_ = std::move(error);
  }
  Database& database_;
  std::optional<Error> failed_;
};

}  // namespace leadwright
