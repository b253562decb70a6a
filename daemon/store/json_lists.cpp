// SPDX-License-Identifier: Apache-2.0
// Reading of what json.cpp wrote into list columns.
#include <boost/json.hpp>

#include "daemon/store/json.h"

namespace leadwright {

namespace {

namespace json = boost::json;

tl::unexpected<Error> unreadable(const char* what) {
  return fail(Errc::garbled, std::string("a stored list can't be read: ") + what);
}

Result<json::array> array_of(std::string_view text) {
  json::error_code failed;
  json::value value = json::parse(json::string_view(text.data(), text.size()), failed);
  if (failed || !value.is_array()) return unreadable("no JSON array");
  return std::move(value.get_array());
}

std::optional<std::string> string_at(const json::object& object, const char* key) {
  const json::value* value = object.if_contains(key);
  if (value == nullptr || !value->is_string()) return std::nullopt;
  return std::string(value->get_string().c_str(), value->get_string().size());
}

std::optional<double> number_at(const json::object& object, const char* key) {
  const json::value* value = object.if_contains(key);
  if (value == nullptr || !value->is_number()) return std::nullopt;
  return value->to_number<double>();
}

}  // namespace

Result<std::vector<std::string>> strings_of(std::string_view text) {
  const auto items = array_of(text);
  if (!items) return tl::unexpected<Error>(items.error());
  std::vector<std::string> texts;
  for (const json::value& item : *items) {
    if (!item.is_string()) return unreadable("not a text");
    texts.emplace_back(item.get_string().c_str(), item.get_string().size());
  }
  return texts;
}

Result<std::vector<BudgetLine>> budget_of(std::string_view text) {
  const auto items = array_of(text);
  if (!items) return tl::unexpected<Error>(items.error());
  std::vector<BudgetLine> budget;
  for (const json::value& item : *items) {
    if (!item.is_object()) return unreadable("not a line of a budget");
    const auto quantity = string_at(item.get_object(), "quantity");
    const auto u_input = string_at(item.get_object(), "u_input");
    const auto u = number_at(item.get_object(), "u");
    if (!quantity || !u_input || !u) return unreadable("a line of a budget lacks a part");
    budget.push_back({*quantity, *u_input, *u});
  }
  return budget;
}

}  // namespace leadwright
