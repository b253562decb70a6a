// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/step_reader.h"

#include <algorithm>
#include <array>
#include <utility>

#include "daemon/battery/findings.h"

namespace leadwright {
namespace {

constexpr Second at_most_highest = hours(72.0);
constexpr Second every_lowest{0.05};
constexpr Second every_highest{60.0};
/// A reading older than this is stale on the slowest profile; three samples must fit in it.
constexpr Second every_highest_energised{2.0};

constexpr std::array<StepKind, 5> kinds{StepKind::rest, StepKind::draw, StepKind::charge, StepKind::measure,
                                        StepKind::state};

bool is_energised(StepKind kind) {
  return kind == StepKind::draw || kind == StepKind::charge;
}

StepKind read_kind(const TomlTable& table) {
  const std::string text = table.need_string("do");
  std::vector<std::string> words;
  for (const StepKind kind : kinds) {
    if (text == word(kind)) return kind;
    words.emplace_back(word(kind));
  }
  const std::string near = near_match(text, words);
  if (!text.empty()) {
    table.error(
        "do", "no step does \"" + text + "\"",
        near.empty() ? "one of rest, draw, charge, measure, state" : "did you mean \"" + near + "\"?");
  }
  return StepKind::rest;
}

/// A duration without names, within bounds.
std::optional<Second> read_duration(const TomlTable& table, std::string_view key, Second lowest,
                                    Second highest) {
  const auto expression = read_expression(table, key, a_time);
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

std::vector<Condition> read_conditions(const TomlTable& step, std::string_view key) {
  std::vector<Condition> conditions;
  for (const TomlTable& table : step.tables(key)) {
    Condition condition;
    condition.name = table.need_string("name");
    auto when = read_expression(table, "when", a_condition);
    if (!table.has("when"))
      table.error("when", "the condition is missing", "write when = " + std::string(a_condition.example));
    if (auto hold = read_duration(table, "hold", Second(0.0), at_most_highest)) condition.hold = *hold;
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

void check_end(const TomlTable& table, const Step& step) {
  if (!step.at_most) {
    if (!table.has("at_most")) {
      table.error("at_most", "the step \"" + step.name + "\" may never end", "write at_most = \"1 h\"");
    }
    return;
  }
  const auto longest = constant_of(*step.at_most);
  if (longest && (*longest <= 0.0 || Second(*longest) > at_most_highest)) {
    table.error("at_most", "a step lasts more than 0 s and at most 72 h", "write at_most = \"1 h\"");
  }
  for (const Condition& condition : step.until) {
    if (longest && condition.hold > Second(*longest)) {
      table.error("until", "\"" + condition.name + "\" must hold for longer than the step may last",
                  "shorten hold or lengthen at_most");
    }
  }
}

void check_draw_ends_by_voltage(const TomlTable& table, const Step& step) {
  const auto by_volts = [](const Condition& condition) { return condition.when.uses(Name::volts); };
  if (step.cutoff || std::any_of(step.until.begin(), step.until.end(), by_volts) ||
      std::any_of(step.abort.begin(), step.abort.end(), by_volts)) {
    return;
  }
  table.error({}, "the draw \"" + step.name + "\" has no end by voltage",
              "write cutoff, or an until that uses volts");
}

void need_expression(const TomlTable& table, std::string_view key, const Expected& expected,
                     std::optional<Expression>& place) {
  place = read_expression(table, key, expected);
  if (!table.has(key)) {
    table.error(key, std::string(key) + " is missing",
                "write " + std::string(key) + " = " + expected.example);
  }
  if (!place) return;
  if (const auto value = constant_of(*place); value && *value <= 0.0) {
    table.error(key, "\"" + place->text() + "\" is not above zero",
                "currents and voltages of a step are positive");
  }
}

void read_energy(const TomlTable& table, Step& step) {
  if (!is_energised(step.kind)) return;
  need_expression(table, "amps", a_current, step.amps);
  if (step.kind == StepKind::draw) {
    step.cutoff = read_expression(table, "cutoff", a_voltage);
    step.ends_at = read_expression(table, "ends_at", a_voltage);
  }
  if (step.kind == StepKind::charge) need_expression(table, "volts", a_voltage, step.volts);
}

void read_course(const TomlTable& table, Step& step) {
  step.until = read_conditions(table, "until");
  step.abort = read_conditions(table, "abort");
  step.at_most = read_expression(table, "at_most", a_time);
  if (const auto meaning = table.string("at_most_is")) {
    step.time_limit_is_failure = *meaning == "failure";
    if (*meaning != "failure" && *meaning != "end") {
      table.error("at_most_is", "\"" + *meaning + "\" is not known", "write \"failure\" or \"end\"");
    }
  }
  step.every = step.kind == StepKind::rest ? Second(10.0) : Second(0.5);
  const Second slowest = is_energised(step.kind) ? every_highest_energised : every_highest;
  if (auto every = read_duration(table, "every", every_lowest, slowest)) step.every = *every;
  check_end(table, step);
  if (step.kind == StepKind::draw) check_draw_ends_by_voltage(table, step);
}

void read_statement(const TomlTable& table, Step& step, const std::vector<Step>& earlier) {
  step.finding = table.need_string("finding");
  step.of = table.strings("of");
  if (!step.finding.empty() && !is_calculation(step.finding)) {
    table.error("finding", "nothing computes \"" + step.finding + "\"",
                "one of intake, ocv, soc, resistance, reserve_capacity, returned_charge");
  }
  if (step.of.empty()) table.error("of", "it is not said of which steps", "write of = [\"name of a step\"]");
  for (const std::string& name : step.of) {
    const auto is_named = [&](const Step& other) {
      return other.name == name && other.kind != StepKind::state;
    };
    if (std::any_of(earlier.begin(), earlier.end(), is_named)) continue;
    table.error("of", "no earlier step is called \"" + name + "\"", "name a step that comes before this one");
  }
}

}  // namespace

std::optional<Expression> read_expression(const TomlTable& table, std::string_view key,
                                          const Expected& expected) {
  const auto text = table.string(key);
  if (!text) return {};
  auto parsed = Expression::parse(*text, table.where(key));
  if (!parsed) {
    table.error(key, parsed.error().what, parsed.error().mend);
    return {};
  }
  if (!(parsed->unit() == expected.unit)) {
    table.error(key, "\"" + *text + "\" is " + parsed->unit().text() + ", not " + expected.unit.text(),
                std::string("write it like ") + expected.example);
    return {};
  }
  if (!expected.may_be_live && parsed->is_live()) {
    table.error(key, "\"" + *text + "\" uses a value that is known only while the step runs",
                "use cells, capacity, charge_volts and the ratings only");
    return {};
  }
  return std::move(*parsed);
}

std::optional<double> constant_of(const Expression& expression) {
  return expression.evaluate(Values());
}

Step read_step(const TomlTable& table, const std::vector<Step>& earlier) {
  Step step;
  step.name = table.need_string("name");
  step.kind = read_kind(table);
  step.what = table.need_string("what");
  const auto same_name = [&](const Step& other) { return other.name == step.name; };
  if (std::any_of(earlier.begin(), earlier.end(), same_name)) {
    table.error("name", "two steps are called \"" + step.name + "\"", "give each step its own name");
  }
  if (step.kind == StepKind::state) {
    read_statement(table, step, earlier);
  } else {
    read_energy(table, step);
    read_course(table, step);
  }
  return step;
}

}  // namespace leadwright
