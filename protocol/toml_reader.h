// SPDX-License-Identifier: Apache-2.0
// Strict reading of our TOML files: every key that is not asked for is an error with a near match, every
// error carries file:line:column and all of them are reported at once. The only header that stands for the
// outside TOML library; toml_reader.cpp is the only file that sees it.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

/// One table of a parsed file. Getters mark their key as known. A value of the wrong type adds an error to
/// the document and counts as absent. Copies are views of the same document.
class TomlTable {
 public:
  bool has(std::string_view key) const;
  std::vector<std::string> keys() const;
  /// For keys that take values of several types; these two mark nothing as known.
  bool holds_boolean(std::string_view key) const { return holds(key, true); }
  bool holds_array(std::string_view key) const { return holds(key, false); }

  std::optional<std::string> string(std::string_view key) const;
  /// Integer or float; an integer beyond 2^53, which a double would round, is an error.
  std::optional<double> number(std::string_view key) const;
  std::optional<std::int64_t> integer(std::string_view key) const;
  std::optional<bool> boolean(std::string_view key) const;
  std::optional<TomlTable> table(std::string_view key) const;
  std::vector<TomlTable> tables(std::string_view key) const;     ///< array of tables; empty if absent
  std::vector<std::string> strings(std::string_view key) const;  ///< array of strings; empty if absent
  std::vector<double> numbers(std::string_view key) const;       ///< array of numbers; empty if absent

  /// As above, but absence adds an error and gives the fallback.
  std::string need_string(std::string_view key) const;
  double need_number(std::string_view key) const;
  std::int64_t need_integer(std::string_view key) const;
  TomlTable need_table(std::string_view key) const;

  /// "file:line:column" of a key's value, or of the table itself if the key is absent or empty.
  std::string where(std::string_view key = {}) const;
  /// Adds an error at a key of this table.
  void error(std::string_view key, std::string what, std::string mend) const;

 private:
  bool holds(std::string_view key, bool boolean) const;
  friend class TomlDocument;
  struct Node;
  std::shared_ptr<Node> node_;
};

/// A parsed file with the errors found while it is read.
class TomlDocument {
 public:
  /// Never fails: a syntax error is one of errors(), with an empty root.
  static TomlDocument parse(std::string_view text, std::string file_name);
  /// As parse; a file that can't be read is one of errors().
  static TomlDocument load(const std::string& path);

  const TomlTable& root() const { return root_; }
  /// Call after reading: adds an error for every key that nothing asked for. Checks `schema = 1` too.
  void finish();
  const std::vector<Error>& errors() const;

 private:
  TomlTable root_;
};

/// The candidate that `word` most likely means, for a "did you mean ...?", or empty if none is near.
std::string near_match(std::string_view word, const std::vector<std::string>& candidates);

}  // namespace leadwright
