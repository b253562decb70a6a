// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/part_table.h"

#include <algorithm>
#include <boost/json/object.hpp>
#include <charconv>
#include <utility>

#include "daemon/store/csv_line.h"
#include "daemon/store/label_reader.h"
#include "protocol/ascii.h"
#include "protocol/text_file.h"
#include "protocol/utf8.h"

namespace leadwright {

namespace {

constexpr std::size_t part_bytes_max = 64;
constexpr std::size_t parts_max = 100000;
constexpr std::size_t errors_max = 50;

const std::vector<std::string>& text_columns() {
  static const std::vector<std::string> names{
      "part", "chemistry", "cca_standard", "reserve_capacity_standard", "c20_standard", "size_code"};
  return names;
}

const std::vector<std::string>& number_columns() {
  static const std::vector<std::string> names{"cells", "cca_a", "reserve_capacity_min", "c20_ah"};
  return names;
}

bool has(const std::vector<std::string>& names, const std::string& name) {
  return std::ranges::find(names, name) != names.end();
}

std::string folded(std::string_view part) {
  return upper_ascii(trimmed(part));
}

class PartReader {
 public:
  PartReader(std::string file, std::map<std::string, Nameplate, std::less<>>& parts)
      : file_(std::move(file)), parts_(parts) {}

  void read(std::string_view text) {
    if (text.starts_with("\xef\xbb\xbf")) text.remove_prefix(3);
    while (!text.empty() && errors_.size() < errors_max) {
      ++line_;
      const auto end = std::min(text.find('\n'), text.size());
      std::string_view row = text.substr(0, end);
      text.remove_prefix(std::min(end + 1, text.size()));
      if (row.ends_with('\r')) row.remove_suffix(1);
      if (!trimmed(row).empty() && !row.starts_with('#')) read_row(row);
    }
    if (columns_.empty() && errors_.empty())
      error("", "it has no line that names the columns", "begin with part,chemistry,cells");
  }

  std::vector<Error> errors() { return std::move(errors_); }

 private:
  std::string where(std::string_view column = {}) const {
    std::string text = file_ + ":" + std::to_string(line_);
    return column.empty() ? text : text.append(": ").append(column);
  }

  void error(std::string_view column, std::string what, std::string mend) {
    errors_.push_back({Errc::bad_input, std::move(what), where(column), std::move(mend)});
  }

  void read_row(std::string_view row) {
    if (!is_clean_text(row))
      return error("", "bytes that are no UTF-8 text", "save the table as CSV in UTF-8");
    auto fields = fields_of(row);
    if (!fields) return error("", fields.error().what, fields.error().mend);
    if (columns_.empty()) return read_columns(std::move(*fields));
    if (fields->size() != columns_.size()) {
      return error(
          "",
          std::to_string(fields->size()) + " fields under " + std::to_string(columns_.size()) + " columns",
          "leave a field empty where the label says nothing, and quote one that has a comma in it");
    }
    read_part(*fields);
  }

  void read_columns(std::vector<std::string> names) {
    std::vector<std::string> known = text_columns();
    known.insert(known.end(), number_columns().begin(), number_columns().end());
    for (std::size_t i = 0; i < names.size(); ++i) {
      if (!has(known, names[i])) {
        const std::string near = near_match(names[i], known);
        error(names[i], "no such column",
              near.empty() ? "one of " + listed(known) : "did you mean \"" + near + "\"?");
      } else if (std::find(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(i), names[i]) !=
                 names.begin() + static_cast<std::ptrdiff_t>(i)) {
        error(names[i], "this column stands twice", "remove one of them");
      }
    }
    for (const char* needed : {"part", "chemistry", "cells"}) {
      if (!has(names, needed)) error(needed, "this column is missing", "every part needs it");
    }
    columns_ = std::move(names);
    has_good_columns_ = errors_.empty();
  }

  void read_part(const std::vector<std::string>& fields) {
    if (!has_good_columns_) return;
    boost::json::object label;
    std::string part;
    const std::size_t before = errors_.size();
    for (std::size_t i = 0; i < fields.size(); ++i) {
      const std::string& column = columns_[i];
      if (column == "part") {
        part = folded(fields[i]);
      } else if (has(number_columns(), column)) {
        add_number(label, column, fields[i]);
      } else if (!fields[i].empty()) {
        label[column] = fields[i];
      }
    }
    if (part.empty())
      error("part", "a part without its number", "write what the scanner reads from its label");
    if (part.size() > part_bytes_max)
      error("part", "too long", "at most " + std::to_string(part_bytes_max) + " bytes");
    if (errors_.size() != before) return;
    add(part, label);
  }

  void add_number(boost::json::object& label, const std::string& column, const std::string& field) {
    if (field.empty()) return;
    double value = 0.0;
    const char* const end = field.data() + field.size();
    const auto [stop, failed] = std::from_chars(field.data(), end, value);
    if (failed != std::errc() || stop != end)
      return error(column, "\"" + field + "\" is no number", "digits, with a point for decimals and no unit");
    label[column] = value;
  }

  void add(const std::string& part, const boost::json::object& label) {
    const auto known = lines_.find(part);
    if (known != lines_.end()) {
      return error("part", part + " stands already in line " + std::to_string(known->second),
                   "keep one of the two lines");
    }
    if (parts_.size() == parts_max)
      return error("", "more than " + std::to_string(parts_max) + " parts", "keep those that come in");
    Nameplate plate;
    std::string no_date_code;
    const std::size_t before = errors_.size();
    const std::string path = where() + ": ";
    JsonObject object(label, path, errors_);
    read_nameplate(object, LabelOf::part, path, plate, no_date_code, errors_);
    lines_.emplace(part, line_);
    if (errors_.size() == before) parts_.emplace(part, std::move(plate));
  }

  std::string file_;
  std::map<std::string, Nameplate, std::less<>>& parts_;
  std::map<std::string, std::size_t, std::less<>> lines_;
  std::vector<Error> errors_;
  std::vector<std::string> columns_;
  std::size_t line_ = 0;
  bool has_good_columns_ = false;
};

}  // namespace

const Nameplate* PartTable::find(std::string_view part) const {
  const auto found = parts_.find(folded(part));
  return found == parts_.end() ? nullptr : &found->second;
}

tl::expected<PartTable, std::vector<Error>> read_parts(std::string_view text, const std::string& file) {
  PartTable table;
  PartReader reader(file, table.parts_);
  reader.read(text);
  std::vector<Error> errors = reader.errors();
  if (!errors.empty()) return tl::unexpected<std::vector<Error>>(std::move(errors));
  return table;
}

tl::expected<PartTable, std::vector<Error>> load_parts(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return tl::unexpected<std::vector<Error>>({text.error()});
  return read_parts(*text, path);
}

}  // namespace leadwright
