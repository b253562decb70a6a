// SPDX-License-Identifier: Apache-2.0
// A TOML file that a person edited, read with every getter: each mistake says where it is, twice alike.
#include <algorithm>
#include <charconv>
#include <cmath>

#include "protocol/toml_reader.h"
#include "tests/fuzz/target.h"

namespace leadwright {
namespace {

constexpr int depth_max = 8;
constexpr double exact_max = 9007199254740992.0;  // 2^53: larger integers may not be doubles

void read_all(const TomlTable& table, int depth) {
  if (depth > depth_max) return;
  for (const std::string& key : table.keys()) {
    promise(table.has(key), "a key that is listed is there");
    const bool is_number = table.number(key).has_value();
    const auto integer = table.integer(key);
    const bool is_exact = integer && std::abs(static_cast<double>(*integer)) < exact_max;
    promise(is_number || !is_exact, "an integer that a double can hold is a number");
    static_cast<void>(table.string(key));
    static_cast<void>(table.boolean(key));
    static_cast<void>(table.strings(key));
    static_cast<void>(table.numbers(key));
    if (const auto inner = table.table(key)) read_all(*inner, depth + 1);
    for (const TomlTable& inner : table.tables(key)) read_all(inner, depth + 1);
  }
  promise(table.need_string("absent").empty() || table.has("absent"), "what is absent reads as empty");
}

/// "file:line:column" within the text.
bool is_place(const std::string& where, std::size_t lines) {
  constexpr std::string_view file = "fuzz.toml:";
  if (!where.starts_with(file)) return false;
  std::size_t line = 0;
  std::size_t column = 0;
  const char* const end = where.data() + where.size();
  const auto [colon, bad_line] = std::from_chars(where.data() + file.size(), end, line);
  if (bad_line != std::errc() || colon == end || *colon != ':') return false;
  const auto [rest, bad_column] = std::from_chars(colon + 1, end, column);
  return bad_column == std::errc() && line <= lines && (rest == end || *rest == ':');
}

std::vector<std::string> mistakes(std::string_view text) {
  TomlDocument document = TomlDocument::parse(text, "fuzz.toml");
  read_all(document.root(), 0);
  document.finish();
  const auto lines = 1 + static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
  std::vector<std::string> found;
  for (const Error& error : document.errors()) {
    promise(error.code == Errc::bad_input && !error.what.empty(), "a mistake says what is wrong");
    promise(is_place(error.where, lines), "a mistake names a line of the file");
    found.push_back(error.line());
  }
  return found;
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = leadwright::text_of(data, size);
  leadwright::promise(leadwright::mistakes(text) == leadwright::mistakes(text), "reading is deterministic");
  return 0;
}
