// SPDX-License-Identifier: Apache-2.0
// Amounts and conditions of a procedure file.
#include <string>

#include "daemon/procedure/step_reader.h"

namespace leadwright {

namespace {

/// Missing if the key is absent or can't be parsed.
std::optional<Expression> read_any(const TomlTable& table, std::string_view key, const Scope& scope) {
  const auto text = table.string(key);
  if (!text) return {};
  auto parsed = Expression::parse(*text, table.where(key), scope);
  if (parsed) return std::move(*parsed);
  table.error(key, parsed.error().what, parsed.error().mend);
  return {};
}

bool is_known_before(const TomlTable& table, std::string_view key, const Expression& expression) {
  if (!expression.is_live()) return true;
  table.error(key, "\"" + expression.text() + "\" uses a value that is known only while the step runs",
              "use cells, capacity, charge_volts, the ratings and names of your own only");
  return false;
}

}  // namespace

std::optional<Expression> read_amount(const TomlTable& table, std::string_view key, const Scope& scope) {
  auto amount = read_any(table, key, scope);
  if (amount && !is_known_before(table, key, *amount)) return {};
  return amount;
}

std::optional<Expression> read_expression(const TomlTable& table, std::string_view key,
                                          const Expected& expected, const Scope& scope) {
  auto expression = read_any(table, key, scope);
  if (!expression) return {};
  if (!(expression->unit() == expected.unit)) {
    table.error(
        key,
        "\"" + expression->text() + "\" is " + expression->unit().text() + ", not " + expected.unit.text(),
        std::string("write it like ") + expected.example);
    return {};
  }
  if (!expected.may_be_live && !is_known_before(table, key, *expression)) return {};
  return expression;
}

std::optional<Expression> need_expression(const TomlTable& table, std::string_view key,
                                          const Expected& expected, const Scope& scope) {
  if (!table.has(key)) {
    table.error(key, std::string(key) + " is missing",
                "write " + std::string(key) + " = " + expected.example);
  }
  return read_expression(table, key, expected, scope);
}

std::optional<Expression> need_positive(const TomlTable& table, std::string_view key,
                                        const Expected& expected, const Scope& scope) {
  auto amount = need_expression(table, key, expected, scope);
  if (!amount) return amount;
  if (const auto value = constant_of(*amount); value && *value <= 0.0) {
    table.error(key, "\"" + amount->text() + "\" is not above zero",
                "currents and voltages of a step are positive");
  }
  return amount;
}

std::optional<double> constant_of(const Expression& expression) {
  return expression.evaluate(Values());
}

std::optional<Second> read_duration(const TomlTable& table, std::string_view key, Second lowest,
                                    Second highest) {
  const auto expression = read_expression(table, key, a_time, {});
  if (!expression) return {};
  const auto value = constant_of(*expression);
  if (!value || Second(*value) < lowest || Second(*value) > highest) {
    table.error(
        key, "\"" + expression->text() + "\" is not a possible duration",
        "write a time without names, at most " + std::to_string(static_cast<long>(highest.si())) + " s");
    return {};
  }
  return Second(*value);
}

std::vector<Condition> read_conditions(const TomlTable& step, std::string_view key, const Scope& scope) {
  std::vector<Condition> conditions;
  for (const TomlTable& table : step.tables(key)) {
    Condition condition;
    condition.name = table.need_string("name");
    auto when = need_expression(table, "when", a_condition, scope);
    if (auto hold = read_duration(table, "hold", Second(0.0), step_longest)) condition.hold = *hold;
    if (const auto asks = table.string("asks")) {
      condition.asks_for_clamps = *asks == "clamps" && key == "abort";
      if (!condition.asks_for_clamps) {
        table.error("asks", "only an abort asks, and only for the clamps", "write asks = \"clamps\"");
      }
    }
    if (!when) continue;
    if (!when->is_live()) {
      table.error("when", "\"" + when->text() + "\" never changes during a step",
                  "compare a live value: volts, amps, case_temperature, step_time, ...");
    }
    condition.when = std::move(*when);
    conditions.push_back(std::move(condition));
  }
  return conditions;
}

}  // namespace leadwright
