// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/said_json.h"

#include <utility>

#include "daemon/store/json_each.h"
#include "daemon/store/json_writer.h"

namespace leadwright {
namespace {

namespace json = boost::json;

constexpr std::int64_t decimals_max = 12;

std::string value_json(const PhraseValue& value) {
  if (!value.is_number) return json_string(value.text);
  const auto point = value.text.find('.');
  const std::size_t decimals = point == std::string::npos ? 0 : value.text.size() - point - 1;
  return ObjectText()
      .raw("value", value.text)
      .add("decimals", static_cast<int>(decimals))
      .add("unit", value.unit)
      .take();
}

std::string phrase_json(const Phrase& phrase) {
  ObjectText values;
  for (const PhraseValue& value : phrase.values) values.raw(value.name, value_json(value));
  return ObjectText().add("code", phrase.code).raw("values", values.take()).take();
}

std::string text_of(const json::string& text) {
  return {text.c_str(), text.size()};
}

Result<PhraseValue> value_of(const json::key_value_pair& item) {
  std::string name(item.key().data(), item.key().size());
  if (item.value().is_string()) return said_words(std::move(name), text_of(item.value().get_string()));
  if (!item.value().is_object()) return unreadable("a value that is neither words nor an amount");
  const json::object& amount = item.value().get_object();
  const json::value* value = amount.if_contains("value");
  const json::value* decimals = amount.if_contains("decimals");
  const json::value* unit = amount.if_contains("unit");
  if (value == nullptr || !value->is_number() || decimals == nullptr || !decimals->is_int64() ||
      unit == nullptr || !unit->is_string())
    return unreadable("an amount lacks a part");
  const std::int64_t places = decimals->get_int64();
  if (places < 0 || places > decimals_max) return unreadable("decimals");
  return said_amount(std::move(name), value->to_number<double>(), static_cast<int>(places),
                     text_of(unit->get_string()));
}

Result<Phrase> phrase_of(const json::value& item) {
  if (!item.is_object()) return unreadable("no phrase");
  const json::value* code = item.get_object().if_contains("code");
  const json::value* values = item.get_object().if_contains("values");
  if (code == nullptr || !code->is_string() || values == nullptr || !values->is_object())
    return unreadable("a phrase lacks its code or its values");
  Phrase phrase{text_of(code->get_string())};
  for (const json::key_value_pair& each : values->get_object()) {
    Result<PhraseValue> read = value_of(each);
    if (!read) return tl::unexpected<Error>(std::move(read.error()));
    phrase.values.push_back(std::move(*read));
  }
  return phrase;
}

template <class T>
Result<void> read_into(T& part, const json::object& object, const char* key,
                       Result<T> (*read)(const json::value&)) {
  const json::value* found = object.if_contains(key);
  if (found == nullptr) return unreadable("a grade's phrases lack a part");
  Result<T> value = read(*found);
  if (!value) return tl::unexpected<Error>(std::move(value.error()));
  part = std::move(*value);
  return {};
}

Result<std::vector<Phrases>> list_of_phrases(const json::value& list) {
  return each_of<Phrases>(list, phrases_of);
}

}  // namespace

std::string phrases_json(const Phrases& phrases) {
  return json_array(phrases, phrase_json);
}

Result<Phrases> phrases_of(const json::value& json) {
  return each_of<Phrase>(json, phrase_of);
}

Result<Phrases> stored_phrases_of(std::string_view text) {
  json::error_code failed;
  const json::value value = json::parse(json::string_view(text.data(), text.size()), failed);
  if (failed) return unreadable("no JSON");
  return phrases_of(value);
}

std::string said_json(const GradeSaid& said) {
  return ObjectText()
      .raw("reason", phrases_json(said.reason))
      .raw("next_why", phrases_json(said.next_why))
      .raw("warranty", phrases_json(said.warranty))
      .raw("flags", json_array(said.flags, phrases_json))
      .take();
}

Result<GradeSaid> grade_said_of(std::string_view text) {
  json::error_code failed;
  const json::value value = json::parse(json::string_view(text.data(), text.size()), failed);
  if (failed || !value.is_object()) return unreadable("no JSON object");
  const json::object& object = value.get_object();
  GradeSaid said;
  if (object.empty()) return said;
  if (auto read = read_into(said.reason, object, "reason", phrases_of); !read) return pass(read);
  if (auto read = read_into(said.next_why, object, "next_why", phrases_of); !read) return pass(read);
  if (auto read = read_into(said.warranty, object, "warranty", phrases_of); !read) return pass(read);
  if (auto read = read_into(said.flags, object, "flags", list_of_phrases); !read) return pass(read);
  return said;
}

}  // namespace leadwright
