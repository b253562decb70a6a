// SPDX-License-Identifier: Apache-2.0
// Writing JSON objects piece by piece. Inside this folder's .cpp files only.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/store/json.h"

namespace leadwright {

/// A JSON object that is written key by key, in the order of the calls.
class ObjectText {
 public:
  ObjectText& raw(std::string_view key, std::string_view value) {
    text_ += text_.empty() ? "{\"" : ",\"";
    text_ += key;
    text_ += "\":";
    text_ += value;
    return *this;
  }
  ObjectText& add(std::string_view key, std::string_view value) { return raw(key, json_string(value)); }
  ObjectText& add(std::string_view key, const char* value) { return add(key, std::string_view(value)); }
  ObjectText& add(std::string_view key, double value) { return raw(key, json_number(value)); }
  ObjectText& add(std::string_view key, int value) { return raw(key, std::to_string(value)); }
  ObjectText& add(std::string_view key, bool value) { return raw(key, value ? "true" : "false"); }
  ObjectText& add(std::string_view key, Utc value) { return add(key, value.rfc3339()); }
  template <class T>
  ObjectText& add(std::string_view key, const std::optional<T>& value) {
    return value ? add(key, *value) : raw(key, "null");
  }
  std::string take() { return text_.empty() ? "{}" : std::move(text_) + "}"; }

 private:
  std::string text_;
};

}  // namespace leadwright
