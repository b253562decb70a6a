// SPDX-License-Identifier: Apache-2.0
// [parameters] and [tables]: the names that a procedure file makes for itself.
#include "daemon/procedure/step_reader.h"

namespace leadwright {
namespace {

void check_unit(const TomlTable& table, std::string_view key, const std::optional<Expression>& limit,
                const Unit& unit) {
  if (!limit || limit->unit() == unit) return;
  table.error(key, "\"" + limit->text() + "\" is " + limit->unit().text() + ", not " + unit.text(),
              "give it the unit of the default");
}

void read_parameter(const TomlTable& table, const std::string& word, Draft& draft, Frame& frame) {
  Parameter parameter;
  parameter.word = word;
  parameter.what = table.need_string("what");
  auto initial = read_amount(table, "default", draft.scope);
  if (!table.has("default")) table.error("default", "the default is missing", "write default = \"25 A\"");
  parameter.lowest = read_amount(table, "min", draft.scope);
  parameter.highest = read_amount(table, "max", draft.scope);
  for (const char* const key : {"min", "max"}) {
    if (table.has(key)) continue;
    table.error(key, "the parameter " + word + " has no " + key,
                "write both min and max: what may be chosen is proved beforehand");
  }
  if (!initial) return;
  check_unit(table, "min", parameter.lowest, initial->unit());
  check_unit(table, "max", parameter.highest, initial->unit());
  const auto slot = add_name(table, {}, draft, {word, initial->unit(), true});
  if (!slot) return;
  parameter.slot = *slot;
  parameter.initial = std::move(*initial);
  frame.parameters.push_back(std::move(parameter));
}

void read_table(const TomlTable& table, const std::string& word, Draft& draft, Frame& frame) {
  ChemistryTable values;
  values.word = word;
  values.what = table.need_string("what");
  std::optional<Unit> unit;
  for (std::size_t i = 0; i < ChemistryTable::chemistries.size(); ++i) {
    const char* const key = leadwright::word(ChemistryTable::chemistries[i]);
    auto amount = read_amount(table, key, draft.scope);
    if (!table.has(key)) {
      table.error(key, "the value for " + std::string(key) + " is missing",
                  "each of flooded, efb, agm and gel has one");
    }
    if (!amount) continue;
    if (!unit) unit = amount->unit();
    check_unit(table, key, amount, *unit);
    values.values[i] = std::move(*amount);
  }
  if (!unit) return;
  const auto slot = add_name(table, {}, draft, {word, *unit, true});
  if (!slot) return;
  values.slot = *slot;
  frame.tables.push_back(std::move(values));
}

}  // namespace

std::optional<std::size_t> add_name(const TomlTable& table, std::string_view key, Draft& draft,
                                    OwnName name) {
  const std::string word = name.word;
  const auto slot = draft.scope.add(std::move(name));
  if (!slot) {
    table.error(key, "\"" + word + "\" can't be a name",
                "choose another lower_snake_case word that no unit and no value has");
  }
  return slot;
}

void read_names(const TomlTable& root, Draft& draft, Frame& frame) {
  if (const auto tables = root.table("tables")) {
    for (const std::string& word : tables->keys()) {
      if (const auto table = tables->table(word)) read_table(*table, word, draft, frame);
    }
  }
  if (const auto parameters = root.table("parameters")) {
    for (const std::string& word : parameters->keys()) {
      if (const auto table = parameters->table(word)) read_parameter(*table, word, draft, frame);
    }
  }
}

}  // namespace leadwright
