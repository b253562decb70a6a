// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/arguments.h"

#include <algorithm>
#include <boost/json.hpp>
#include <charconv>

#include "protocol/toml_reader.h"

namespace leadwright {

namespace json = boost::json;

Result<Arguments> Arguments::parse(std::string_view body, std::initializer_list<std::string_view> keys,
                                   std::initializer_list<std::string_view> objects) {
  Arguments arguments;
  if (body.empty()) return arguments;
  boost::system::error_code error;
  const json::value root = json::parse(json::string_view(body.data(), body.size()), error);
  if (error || !root.is_object()) {
    return fail(Errc::bad_input, "the body is not a JSON object", "body", "send {\"key\": value, ...}");
  }
  for (const auto& [key, value] : root.get_object()) {
    const std::string name(key);
    const bool takes_object = std::ranges::find(objects, name) != objects.end();
    if (takes_object && value.is_object()) {
      arguments.values_[name] = Object{json::serialize(value)};
      continue;
    }
    if (takes_object && !value.is_null()) {
      return fail(Errc::bad_input, std::string(name).append(" must be an object"), "body");
    }
    if (!takes_object && std::ranges::find(keys, name) == keys.end()) {
      const std::string near = near_match(name, {keys.begin(), keys.end()});
      return fail(Errc::bad_input, "unknown key \"" + name + "\"", "body",
                  near.empty() ? "leave it out" : "did you mean \"" + near + "\"?");
    }
    if (value.is_string()) {
      arguments.values_[name] = std::string(value.get_string());
    } else if (value.is_number()) {
      arguments.values_[name] = value.to_number<double>();
    } else if (value.is_bool()) {
      arguments.values_[name] = value.get_bool();
    } else if (!value.is_null()) {
      return fail(Errc::bad_input, "\"" + name + "\" must be text, a number or a truth value", "body");
    }
  }
  return arguments;
}

std::optional<std::string> Arguments::text(std::string_view key) const {
  const auto found = values_.find(key);
  if (found == values_.end()) return std::nullopt;
  if (const auto* text = std::get_if<std::string>(&found->second)) return *text;
  return std::nullopt;
}

std::optional<double> Arguments::number(std::string_view key) const {
  const auto found = values_.find(key);
  if (found == values_.end()) return std::nullopt;
  if (const auto* number = std::get_if<double>(&found->second)) return *number;
  return std::nullopt;
}

Result<std::optional<std::uint64_t>> Arguments::whole(std::string_view key) const {
  const auto digits = text(key);
  if (!digits) return std::nullopt;
  std::uint64_t number = 0;
  const char* const end = digits->data() + digits->size();
  const auto [rest, error] = std::from_chars(digits->data(), end, number);
  if (error == std::errc() && rest == end) return number;
  return fail(Errc::bad_input, "this is not a whole number", std::string(key), "give digits alone");
}

std::optional<bool> Arguments::truth(std::string_view key) const {
  const auto found = values_.find(key);
  if (found == values_.end()) return std::nullopt;
  if (const auto* truth = std::get_if<bool>(&found->second)) return *truth;
  return std::nullopt;
}

std::optional<std::string> Arguments::object(std::string_view key) const {
  const auto found = values_.find(key);
  if (found == values_.end()) return std::nullopt;
  if (const auto* object = std::get_if<Object>(&found->second)) return object->json;
  return std::nullopt;
}

Result<std::vector<std::pair<std::string, std::string>>> Arguments::texts(std::string_view key) const {
  std::vector<std::pair<std::string, std::string>> members;
  const auto text = object(key);
  if (!text) return members;
  const json::value root = json::parse(*text);
  for (const auto& [name, value] : root.get_object()) {
    if (!value.is_string()) {
      return fail(Errc::bad_input, std::string(name).append(" must be text"), std::string(key),
                  "write it with its unit, for example \"25 A\"");
    }
    members.emplace_back(std::string(name), std::string(value.get_string()));
  }
  return members;
}

}  // namespace leadwright
