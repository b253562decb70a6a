// SPDX-License-Identifier: Apache-2.0
#include "protocol/toml_reader.h"

#define TOML_HEADER_ONLY 0
#include <toml++/toml.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <set>
#include <sstream>
#include <tuple>

namespace leadwright {

namespace {

struct Located {
  toml::source_position at;
  Error error;
};

std::string quoted(std::string_view name) {
  std::string text(1, '`');
  text.append(name).push_back('`');
  return text;
}

const char* type_word(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::table:
      return "a table";
    case toml::node_type::array:
      return "an array";
    case toml::node_type::string:
      return "a string";
    case toml::node_type::integer:
      return "an integer";
    case toml::node_type::floating_point:
      return "a number";
    case toml::node_type::boolean:
      return "true or false";
    default:
      return "a date or time";
  }
}

struct Document {
  std::string file;
  toml::table tree;
  bool unreadable = false;
  std::vector<Located> located;
  std::vector<Error> errors;
  std::map<const toml::table*, std::set<std::string, std::less<>>> asked;

  std::string place(toml::source_position at) const {
    if (at.line == 0) return file;
    return file + ":" + std::to_string(at.line) + ":" + std::to_string(at.column);
  }
  void add(toml::source_position at, std::string what, std::string mend) {
    located.push_back({at, Error{Errc::bad_input, std::move(what), place(at), std::move(mend)}});
    publish();
  }
  void publish() {
    const auto by_place = [](const Located& a, const Located& b) {
      return std::tie(a.at.line, a.at.column) < std::tie(b.at.line, b.at.column);
    };
    std::stable_sort(located.begin(), located.end(), by_place);
    errors.clear();
    for (const Located& one : located) errors.push_back(one.error);
  }
  void check_known(const toml::table& table);
  void check_known_inside(const toml::node& node) {
    if (const auto* table = node.as_table()) check_known(*table);
    if (const auto* array = node.as_array()) {
      for (const toml::node& element : *array) check_known_inside(element);
    }
  }
};

void Document::check_known(const toml::table& table) {
  const auto& known = asked[&table];
  for (const auto& [key, node] : table) {
    const std::string_view name = key.str();
    if (known.contains(name)) {
      check_known_inside(node);
      continue;
    }
    const std::string near = near_match(name, {known.begin(), known.end()});
    std::string mend = near.empty() ? std::string("remove it")
                                    : std::string("did you mean ").append(quoted(near)).append("?");
    add(key.source().begin, "unknown key " + quoted(name), std::move(mend));
  }
}

}  // namespace

/// A view of one table; without a table (a missing one that was needed) everything is absent in silence.
struct TomlTable::Node {
  std::shared_ptr<Document> document;
  const toml::table* table = nullptr;
  toml::source_position at;

  const toml::node* find(std::string_view key) const {
    if (table == nullptr) return nullptr;
    document->asked[table].emplace(key);
    return table->get(key);
  }
  void missing(std::string_view key, std::string_view kind) const {
    if (table == nullptr || document->unreadable) return;
    document->add(at, "missing key " + quoted(key),
                  std::string("add ").append(key).append(" = ").append(kind));
  }
  void wrong(std::string_view key, const toml::node& node, std::string_view wanted) const {
    document->add(node.source().begin,
                  quoted(key) + " must be " + std::string(wanted) + ", but is " + type_word(node), {});
  }
  TomlTable view(const toml::table* inner, toml::source_position where) const {
    TomlTable result;
    result.node_ = std::make_shared<Node>(Node{document, inner, where});
    return result;
  }
  template <class T>
  std::optional<T> scalar(std::string_view key, std::string_view wanted) const {
    const toml::node* found = find(key);
    if (found == nullptr) return std::nullopt;
    if (const auto* value = found->as<T>()) return value->get();
    wrong(key, *found, wanted);
    return std::nullopt;
  }
  std::optional<double> finite(std::string_view key, const toml::node& node) const {
    const auto value = node.is_number() ? node.value<double>() : std::nullopt;
    if (value && std::isfinite(*value)) return value;
    wrong(key, node, "a finite number");
    return std::nullopt;
  }
  const toml::array* array(std::string_view key, std::string_view wanted) const {
    const toml::node* node = find(key);
    if (node == nullptr) return nullptr;
    if (!node->is_array()) wrong(key, *node, wanted);
    return node->as_array();
  }
};

bool TomlTable::has(std::string_view key) const {
  return node_ && node_->table != nullptr && node_->table->contains(key);
}

bool TomlTable::holds(std::string_view key, bool boolean) const {
  return has(key) && (boolean ? node_->table->get(key)->is_boolean() : node_->table->get(key)->is_array());
}

std::vector<std::string> TomlTable::keys() const {
  std::vector<std::string> names;
  if (!node_ || node_->table == nullptr) return names;
  for (const auto& [key, value] : *node_->table) names.emplace_back(key.str());
  return names;
}

std::optional<std::string> TomlTable::string(std::string_view key) const {
  return node_ ? node_->scalar<std::string>(key, "a string") : std::nullopt;
}

std::optional<double> TomlTable::number(std::string_view key) const {
  const toml::node* found = node_ ? node_->find(key) : nullptr;
  if (found == nullptr) return std::nullopt;
  return node_->finite(key, *found);
}

std::optional<std::int64_t> TomlTable::integer(std::string_view key) const {
  return node_ ? node_->scalar<std::int64_t>(key, "an integer") : std::nullopt;
}

std::optional<bool> TomlTable::boolean(std::string_view key) const {
  return node_ ? node_->scalar<bool>(key, "true or false") : std::nullopt;
}

std::optional<TomlTable> TomlTable::table(std::string_view key) const {
  const toml::node* found = node_ ? node_->find(key) : nullptr;
  if (found == nullptr) return std::nullopt;
  if (const auto* inner = found->as_table()) return node_->view(inner, found->source().begin);
  node_->wrong(key, *found, "a table");
  return std::nullopt;
}

std::vector<TomlTable> TomlTable::tables(std::string_view key) const {
  std::vector<TomlTable> result;
  const toml::array* elements = node_ ? node_->array(key, "an array of tables") : nullptr;
  if (elements == nullptr) return result;
  for (const toml::node& element : *elements) {
    if (const auto* inner = element.as_table()) {
      result.push_back(node_->view(inner, element.source().begin));
    } else {
      node_->wrong(key, element, "an array of tables");
    }
  }
  return result;
}

std::vector<std::string> TomlTable::strings(std::string_view key) const {
  std::vector<std::string> result;
  const toml::array* elements = node_ ? node_->array(key, "an array of strings") : nullptr;
  if (elements == nullptr) return result;
  for (const toml::node& element : *elements) {
    if (const auto* text = element.as_string()) {
      result.push_back(text->get());
    } else {
      node_->wrong(key, element, "an array of strings");
    }
  }
  return result;
}

std::vector<double> TomlTable::numbers(std::string_view key) const {
  std::vector<double> result;
  const toml::array* elements = node_ ? node_->array(key, "an array of numbers") : nullptr;
  if (elements == nullptr) return result;
  for (const toml::node& element : *elements) {
    if (const auto value = node_->finite(key, element)) result.push_back(*value);
  }
  return result;
}

std::string TomlTable::need_string(std::string_view key) const {
  if (node_ && !has(key)) node_->missing(key, "\"...\"");
  return string(key).value_or("");
}

double TomlTable::need_number(std::string_view key) const {
  if (node_ && !has(key)) node_->missing(key, "NUMBER");
  return number(key).value_or(0.0);
}

std::int64_t TomlTable::need_integer(std::string_view key) const {
  if (node_ && !has(key)) node_->missing(key, "INTEGER");
  return integer(key).value_or(0);
}

TomlTable TomlTable::need_table(std::string_view key) const {
  if (node_ && !has(key)) node_->missing(key, "{ ... }");
  if (auto found = table(key)) return *found;
  return node_ ? node_->view(nullptr, node_->at) : TomlTable();
}

std::string TomlTable::where(std::string_view key) const {
  if (!node_) return {};
  const toml::node* found = node_->table != nullptr && !key.empty() ? node_->table->get(key) : nullptr;
  return node_->document->place(found != nullptr ? found->source().begin : node_->at);
}

void TomlTable::error(std::string_view key, std::string what, std::string mend) const {
  if (!node_ || node_->document->unreadable) return;
  const toml::node* found = node_->table != nullptr && !key.empty() ? node_->table->get(key) : nullptr;
  node_->document->add(found != nullptr ? found->source().begin : node_->at, std::move(what),
                       std::move(mend));
}

TomlDocument TomlDocument::parse(std::string_view text, std::string file_name) {
  auto document = std::make_shared<Document>();
  document->file = std::move(file_name);
  try {
    document->tree = toml::parse(text);
  } catch (const toml::parse_error& error) {
    document->unreadable = true;
    document->add(error.source().begin, std::string(error.description()),
                  "see https://toml.io for the syntax");
  }
  TomlDocument result;
  const toml::source_position start{1, 1};
  result.root_.node_ = std::make_shared<TomlTable::Node>(TomlTable::Node{document, &document->tree, start});
  return result;
}

TomlDocument TomlDocument::load(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  if (file) text << file.rdbuf();
  if (file && text) return parse(text.view(), path);
  TomlDocument result = parse("", path);
  Document& document = *result.root_.node_->document;
  document.add({}, "can't read this file", "check that it exists and that you may read it");
  document.unreadable = true;
  return result;
}

void TomlDocument::finish() {
  Document& document = *root_.node_->document;
  if (document.unreadable) return;
  if (root_.need_integer("schema") != 1 && root_.has("schema")) {
    root_.error("schema", "this program reads schema 1 only", "write schema = 1");
  }
  document.check_known(document.tree);
}

const std::vector<Error>& TomlDocument::errors() const {
  return root_.node_->document->errors;
}

}  // namespace leadwright
