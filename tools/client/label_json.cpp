// SPDX-License-Identifier: Apache-2.0
#include "tools/client/label_json.h"

#include <utility>

#include "tools/client/amount.h"
#include "tools/client/call.h"
#include "tools/client/json_view.h"

namespace leadwright {

namespace json = boost::json;

namespace {
json::string_view json_key(std::string_view key) {
  return {key.data(), key.size()};
}
}  // namespace

void set_text(json::object& object, std::string_view key, const std::string& value) {
  if (!value.empty()) object[json_key(key)] = value;
}

Result<void> set_amount(json::object& object, const TypedAmount& amount) {
  if (amount.text.empty()) return {};
  const auto value = amount_of(amount.text, {amount.option, amount.unit});
  if (!value) return tl::unexpected<Error>(value.error());
  object[json_key(amount.key)] = *value * amount.factor;
  return {};
}

Result<json::object> label_json(const LabelOptions& options, json::object part, const std::string& prefix) {
  json::object label = std::move(part);
  set_text(label, "chemistry", options.chemistry);
  if (options.cells) label["cells"] = *options.cells;
  for (const RatingOption& amount : ratings_of(options.cca, options.reserve_capacity, options.c20)) {
    const std::string text(amount.text);
    const std::string option = prefix + std::string(amount.option.name.substr(2));
    const auto set = set_amount(label, {amount.key, text, option, amount.option.unit});
    if (!set) return tl::unexpected<Error>(set.error());
  }
  set_text(label, "cca_standard", options.cca_standard);
  set_text(label, "reserve_capacity_standard", options.reserve_capacity_standard);
  set_text(label, "c20_standard", options.c20_standard);
  set_text(label, "size_code", options.size_code);
  set_text(label, "manufactured_on", options.manufactured_on);
  set_text(label, "date_code", options.date_code);
  return label;
}

Result<json::object> part_label(const ClientOptions& client, const std::string& part) {
  json::object label;
  if (part.empty()) return label;
  const auto body = ask(client, {"GET", "/api/v1/parts/" + path_segment(part), ""});
  if (!body) return tl::unexpected<Error>(body.error());
  const auto answer = parse_json(*body);
  const auto& known = answer ? member(*answer, "battery") : member({}, "");
  if (!known.is_object()) return fail(Errc::garbled, "the bench's answer is not a part", part);
  // What the list does not state must not stand beside what is typed.
  for (const auto& [key, value] : known.get_object()) {
    if (!value.is_null() && !(value.is_string() && value.get_string().empty())) label[key] = value;
  }
  return label;
}

}  // namespace leadwright
