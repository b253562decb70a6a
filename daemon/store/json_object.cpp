// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/json_object.h"

#include <algorithm>
#include <boost/json/array.hpp>
#include <boost/json/value.hpp>
#include <cmath>

#include "daemon/store/json.h"

namespace leadwright {

namespace {

std::string_view view(const boost::json::string& text) {
  return {text.data(), text.size()};
}

}  // namespace

std::string listed(const std::vector<std::string>& words) {
  std::string all;
  for (const std::string& word : words) all += (all.empty() ? "" : ", ") + word;
  return all;
}

std::string joined_lines(const std::vector<Error>& errors) {
  std::string all;
  for (const Error& error : errors) all += (all.empty() ? "" : "; ") + error.line();
  return all;
}

std::string json_text(double value) {
  return json_number(value);
}

const boost::json::value* JsonObject::find(std::string_view key) {
  asked_.emplace_back(key);
  const boost::json::value* value = object_->if_contains(boost::json::string_view(key.data(), key.size()));
  return value == nullptr || value->is_null() ? nullptr : value;
}

bool JsonObject::has(std::string_view key) const {
  const boost::json::value* value = object_->if_contains(boost::json::string_view(key.data(), key.size()));
  return value != nullptr && !value->is_null();
}

bool JsonObject::is_clean(std::string_view key, std::string_view text, std::size_t bytes_max) {
  if (text.size() > bytes_max) {
    error(key, "too long", "at most " + std::to_string(bytes_max) + " bytes");
    return false;
  }
  const auto is_control = [](unsigned char c) { return (c < 0x20 && c != '\n' && c != '\t') || c == 0x7f; };
  if (std::any_of(text.begin(), text.end(), is_control)) {
    error(key, "has a control character", "type or scan it again");
    return false;
  }
  return true;
}

std::string JsonObject::text(std::string_view key, std::size_t bytes_max) {
  const boost::json::value* value = find(key);
  if (value == nullptr) return {};
  if (!value->is_string()) {
    error(key, "not a text", "put it in quotes");
    return {};
  }
  const std::string_view found = view(value->get_string());
  return is_clean(key, found, bytes_max) ? std::string(found) : std::string();
}

std::string JsonObject::need_text(std::string_view key, std::size_t bytes_max, const char* mend) {
  const std::size_t before = errors_->size();
  std::string found = text(key, bytes_max);
  const std::size_t first = found.find_first_not_of(" \t\n");
  found = first == std::string::npos ? "" : found.substr(first, found.find_last_not_of(" \t\n") - first + 1);
  if (found.empty() && errors_->size() == before) error(key, "missing", mend);
  return found;
}

std::optional<double> JsonObject::number(std::string_view key) {
  const boost::json::value* value = find(key);
  if (value == nullptr) return std::nullopt;
  if (!value->is_number()) {
    error(key, "not a number", "write digits without quotes or unit: the key names the unit");
    return std::nullopt;
  }
  const auto found = value->to_number<double>();
  if (!std::isfinite(found)) {
    error(key, "not a finite number", "copy it from the label");
    return std::nullopt;
  }
  return found;
}

std::optional<double> JsonObject::number_within(std::string_view key, double least, double most) {
  const auto value = number(key);
  if (!value || (*value >= least && *value <= most)) return value;
  error(key, json_text(*value) + " can't be right",
        "between " + json_text(least) + " and " + json_text(most) +
            " is possible: look at the number and its unit again");
  return std::nullopt;
}

bool JsonObject::flag(std::string_view key) {
  const boost::json::value* value = find(key);
  if (value == nullptr) return false;
  if (!value->is_bool()) {
    error(key, "neither true nor false", "write true or false without quotes");
    return false;
  }
  return value->get_bool();
}

std::optional<std::string> JsonObject::choice(std::string_view key, const std::vector<std::string>& words) {
  const std::string found = text(key, serial_bytes_max);
  if (found.empty()) return std::nullopt;
  if (std::find(words.begin(), words.end(), found) != words.end()) return found;
  const std::string near = near_match(found, words);
  error(key, "unknown word \"" + found + "\"",
        near.empty() ? "one of " + listed(words) : "did you mean \"" + near + "\"?");
  return std::nullopt;
}

std::vector<std::string> JsonObject::texts(std::string_view key, std::size_t count_max) {
  const boost::json::value* value = find(key);
  if (value == nullptr) return {};
  std::vector<std::string> found;
  const bool is_list = value->is_array() && value->get_array().size() <= count_max;
  if (is_list) {
    for (const boost::json::value& item : value->get_array()) {
      if (!item.is_string() || !is_clean(key, view(item.get_string()), text_bytes_max)) break;
      found.emplace_back(view(item.get_string()));
    }
  }
  if (!is_list || found.size() != value->get_array().size()) {
    error(key, "not a list of texts", "write [\"...\", \"...\"], at most " + std::to_string(count_max));
    return {};
  }
  return found;
}

std::vector<std::optional<double>> JsonObject::numbers_or_null(std::string_view key, std::size_t count_max) {
  const boost::json::value* value = find(key);
  if (value == nullptr) return {};
  std::vector<std::optional<double>> found;
  const bool is_list = value->is_array() && value->get_array().size() <= count_max;
  if (is_list) {
    for (const boost::json::value& item : value->get_array()) {
      if (!item.is_null() && (!item.is_number() || !std::isfinite(item.to_number<double>()))) break;
      found.push_back(item.is_null() ? std::nullopt : std::optional(item.to_number<double>()));
    }
  }
  if (!is_list || found.size() != value->get_array().size()) {
    error(key, "not a list of numbers", "write [1.2, null, ...], at most " + std::to_string(count_max));
    return {};
  }
  return found;
}

std::optional<JsonObject> JsonObject::object(std::string_view key) {
  const boost::json::value* value = find(key);
  if (value == nullptr) return std::nullopt;
  if (!value->is_object()) {
    error(key, "not an object", "write {...}");
    return std::nullopt;
  }
  return JsonObject(value->get_object(), path_ + std::string(key) + ".", *errors_);
}

void JsonObject::error(std::string_view key, std::string what, std::string mend) {
  errors_->push_back({Errc::bad_input, std::move(what), path_ + std::string(key), std::move(mend)});
}

void JsonObject::finish() {
  for (const auto& item : *object_) {
    const std::string key(item.key().data(), item.key().size());
    if (std::find(asked_.begin(), asked_.end(), key) != asked_.end()) continue;
    const std::string near = near_match(key, asked_);
    error(key, "unknown key", near.empty() ? "one of " + listed(asked_) : "did you mean \"" + near + "\"?");
  }
}

}  // namespace leadwright
