// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/json_each.h"
#include "daemon/store/json_writer.h"
#include "daemon/store/said_json.h"

namespace leadwright {

namespace {

namespace json = boost::json;

std::string budget_line_json(const BudgetLine& line) {
  return ObjectText()
      .add("quantity", line.quantity)
      .add("value", line.value)
      .add("u_input", line.u_input)
      .add("sensitivity", line.sensitivity)
      .add("u", line.u)
      .add("share", line.share)
      .take();
}

std::string rule_json(const GradeRule& rule) {
  return ObjectText()
      .add("rule", rule.rule)
      .add("text", rule.text)
      .add("unit", rule.unit)
      .add("limit", rule.limit)
      .add("value", rule.value)
      .add("u", rule.u)
      .add("guard_band", rule.guard_band)
      .add("probability", rule.probability)
      .add("outcome", rule.outcome)
      .raw("said", phrases_json(rule.said))
      .take();
}

std::string instrument_json(const UsedInstrument& used) {
  return ObjectText()
      .add("name", used.name)
      .add("identity", used.identity)
      .add("calibration_due", used.calibration_due)
      .add("calibration_overdue", used.calibration_overdue)
      .take();
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

Result<std::string> text_of(const json::value& item) {
  if (!item.is_string()) return unreadable("not a text");
  return std::string(item.get_string().c_str(), item.get_string().size());
}

Result<BudgetLine> budget_line_of(const json::value& item) {
  if (!item.is_object()) return unreadable("not a line of a budget");
  const json::object& line = item.get_object();
  const auto quantity = string_at(line, "quantity");
  const auto u_input = string_at(line, "u_input");
  const auto u = number_at(line, "u");
  if (!quantity || !u_input || !u) return unreadable("a line of a budget lacks a part");
  return BudgetLine{*quantity,
                    *u_input,
                    *u,
                    string_at(line, "value").value_or(""),
                    string_at(line, "sensitivity").value_or(""),
                    number_at(line, "share").value_or(0.0)};
}

Result<GradeRule> rule_of(const json::value& item) {
  if (item.is_string()) {
    GradeRule sentence_alone;
    sentence_alone.text.assign(item.get_string().c_str(), item.get_string().size());
    return sentence_alone;
  }
  if (!item.is_object()) return unreadable("not a rule of a grade");
  const json::object& object = item.get_object();
  const auto sentence = string_at(object, "text");
  if (!sentence) return unreadable("a rule of a grade lacks its sentence");
  Phrases said;
  if (const json::value* phrases = object.if_contains("said")) {
    Result<Phrases> read = phrases_of(*phrases);
    if (!read) return tl::unexpected<Error>(std::move(read.error()));
    said = std::move(*read);
  }
  return GradeRule{string_at(object, "rule").value_or(""),
                   *sentence,
                   string_at(object, "unit").value_or(""),
                   number_at(object, "limit"),
                   number_at(object, "value"),
                   number_at(object, "u"),
                   number_at(object, "guard_band"),
                   number_at(object, "probability"),
                   string_at(object, "outcome").value_or(""),
                   std::move(said)};
}

Result<UsedInstrument> instrument_of(const json::value& item) {
  if (!item.is_object()) return unreadable("not an instrument of a run");
  const json::object& object = item.get_object();
  const auto name = string_at(object, "name");
  if (!name) return unreadable("an instrument of a run lacks its name");
  const json::value* overdue = object.if_contains("calibration_overdue");
  return UsedInstrument{*name, string_at(object, "identity").value_or(""),
                        string_at(object, "calibration_due").value_or(""),
                        overdue != nullptr && overdue->is_bool() && overdue->get_bool()};
}

template <class T>
Result<std::vector<T>> list_of(std::string_view text, Result<T> (*one)(const json::value&)) {
  json::error_code failed;
  const json::value value = json::parse(json::string_view(text.data(), text.size()), failed);
  if (failed) return unreadable("no JSON");
  return each_of(value, one);
}

}  // namespace

std::string strings_json(const std::vector<std::string>& texts) {
  return json_array(texts, json_string);
}
std::string budget_json(const std::vector<BudgetLine>& budget) {
  return json_array(budget, budget_line_json);
}

std::string rules_json(const std::vector<GradeRule>& rules) {
  return json_array(rules, rule_json);
}

std::string instruments_json(const std::vector<UsedInstrument>& instruments) {
  return json_array(instruments, instrument_json);
}

Result<std::vector<std::string>> strings_of(std::string_view text) {
  return list_of<std::string>(text, text_of);
}

Result<std::vector<BudgetLine>> budget_of(std::string_view text) {
  return list_of<BudgetLine>(text, budget_line_of);
}

Result<std::vector<GradeRule>> rules_of(std::string_view text) {
  return list_of<GradeRule>(text, rule_of);
}

Result<std::vector<UsedInstrument>> instruments_of(std::string_view text) {
  return list_of<UsedInstrument>(text, instrument_of);
}

}  // namespace leadwright
