// SPDX-License-Identifier: Apache-2.0
// Reading JSON that may lack anything. Inside this folder's .cpp files only, since it names Boost.
#pragma once

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/parse.hpp>
#include <boost/json/serialize.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace leadwright {

inline std::optional<boost::json::value> parse_json(std::string_view text) {
  boost::json::error_code error;
  auto value = boost::json::parse(boost::json::string_view(text.data(), text.size()), error);
  if (error) return std::nullopt;
  return value;
}

/// The member, or null if this is no object or has none.
inline const boost::json::value& member(const boost::json::value& from, std::string_view key) {
  static const boost::json::value none;
  if (!from.is_object()) return none;
  const auto* const found = from.get_object().if_contains(boost::json::string_view(key.data(), key.size()));
  return found == nullptr ? none : *found;
}

/// The elements of an array; none if it is no array.
inline const boost::json::array& items(const boost::json::value& value) {
  static const boost::json::array none;
  return value.is_array() ? value.get_array() : none;
}

/// A text as it is, null as nothing, all else as JSON.
inline std::string words(const boost::json::value& value) {
  if (value.is_null()) return {};
  if (value.is_string()) return {value.get_string().data(), value.get_string().size()};
  return boost::json::serialize(value);
}

inline std::optional<double> number(const boost::json::value& value) {
  if (value.is_double()) return value.get_double();
  if (value.is_int64()) return static_cast<double>(value.get_int64());
  if (value.is_uint64()) return static_cast<double>(value.get_uint64());
  return std::nullopt;
}

}  // namespace leadwright
