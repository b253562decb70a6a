// SPDX-License-Identifier: Apache-2.0
// Strict reading of one JSON object: every mistake is kept, every key that nothing asked for is one. Private
// to this folder's .cpp files: it shows the JSON library.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "protocol/result.h"
#include "protocol/toml_reader.h"

namespace boost::json {
class object;
class value;
}  // namespace boost::json

namespace leadwright {

constexpr std::size_t text_bytes_max = 2000;
constexpr std::size_t serial_bytes_max = 64;

/// "a, b, c"
std::string listed(const std::vector<std::string>& words);
/// "key: what: mend; key: what: mend"
std::string joined_lines(const std::vector<Error>& errors);
/// A number as a person would write it.
std::string json_text(double value);

/// Getters mark their key as known; null counts as absent; a wrong type is a mistake and counts as absent.
class JsonObject {
 public:
  /// `path` is put before keys in messages: "battery.".
  JsonObject(const boost::json::object& object, std::string path, std::vector<Error>& errors)
      : object_(&object), path_(std::move(path)), errors_(&errors) {}

  bool has(std::string_view key) const;
  std::string text(std::string_view key, std::size_t bytes_max = text_bytes_max);
  std::string need_text(std::string_view key, std::size_t bytes_max, const char* mend);
  std::optional<double> number(std::string_view key);
  /// Outside these it is a slip of the finger: a mistake, and missing.
  std::optional<double> number_within(std::string_view key, double least, double most);
  bool flag(std::string_view key);
  std::optional<std::string> choice(std::string_view key, const std::vector<std::string>& words);
  std::vector<std::string> texts(std::string_view key, std::size_t count_max);
  /// Numbers, of which some may be null; empty if absent.
  std::vector<std::optional<double>> numbers_or_null(std::string_view key, std::size_t count_max);
  std::optional<JsonObject> object(std::string_view key);
  void error(std::string_view key, std::string what, std::string mend);
  /// Adds a mistake for every key that nothing asked for. Last call.
  void finish();

 private:
  const boost::json::value* find(std::string_view key);
  bool is_clean(std::string_view key, std::string_view text, std::size_t bytes_max);

  const boost::json::object* object_;
  std::string path_;
  std::vector<Error>* errors_;
  std::vector<std::string> asked_;
};

}  // namespace leadwright
