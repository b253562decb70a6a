// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/csv_line.h"

#include <algorithm>
#include <utility>

#include "protocol/utf8.h"

namespace leadwright {

namespace {

/// Takes one field off the front of `line`, with the comma behind it.
Result<std::string> quoted_field(std::string_view& line) {
  std::string field;
  line.remove_prefix(1);
  while (true) {
    const auto quote = line.find('"');
    if (quote == std::string_view::npos)
      return fail(Errc::bad_input, "a quote that is not closed", "", "close it before the end of the line");
    field.append(line.substr(0, quote));
    line.remove_prefix(quote + 1);
    if (!line.starts_with('"')) break;
    field += '"';
    line.remove_prefix(1);
  }
  const auto comma = std::min(line.find(','), line.size());
  if (!trimmed(line.substr(0, comma)).empty())
    return fail(Errc::bad_input, "text behind a quoted field", "", "quote the whole field, or nothing of it");
  line.remove_prefix(comma);
  return field;
}

Result<std::string> bare_field(std::string_view& line) {
  const auto comma = std::min(line.find(','), line.size());
  const std::string_view field = trimmed(line.substr(0, comma));
  if (field.find('"') != std::string_view::npos)
    return fail(Errc::bad_input, "a quote amid a field", "", "quote the whole field and double the quote");
  line.remove_prefix(comma);
  return std::string(field);
}

}  // namespace

Result<std::vector<std::string>> fields_of(std::string_view line) {
  if (line.find(',') == std::string_view::npos && line.find(';') != std::string_view::npos)
    return fail(Errc::bad_input, "fields separated by semicolons", "",
                "save it with commas between the fields and a point for decimals");
  std::vector<std::string> fields;
  while (true) {
    const auto start = std::min(line.find_first_not_of(' '), line.size());
    const bool is_quoted = start < line.size() && line[start] == '"';
    if (is_quoted) line.remove_prefix(start);
    auto field = is_quoted ? quoted_field(line) : bare_field(line);
    if (!field) return pass(field);
    fields.push_back(std::move(*field));
    if (line.empty()) return fields;
    line.remove_prefix(1);
  }
}

}  // namespace leadwright
