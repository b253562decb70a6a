// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/step_reader.h"

#include <algorithm>
#include <array>
#include <utility>

namespace leadwright {
namespace {

constexpr Second every_highest{60.0};
/// A reading older than this is stale on the slowest profile; three samples must fit in it.
constexpr Second every_highest_energised{2.0};
constexpr Second every_pulse{0.1};

constexpr std::array kinds{StepKind::rest,    StepKind::draw,   StepKind::charge,
                           StepKind::measure, StepKind::pulse,  StepKind::ask,
                           StepKind::call,    StepKind::decide, StepKind::state};

StepKind read_kind(const TomlTable& table) {
  const std::string text = table.need_string("do");
  std::vector<std::string> words;
  std::string all;
  for (const StepKind kind : kinds) {
    if (text == word(kind)) return kind;
    words.emplace_back(word(kind));
    all.append(all.empty() ? "" : ", ").append(word(kind));
  }
  const std::string near = near_match(text, words);
  if (!text.empty()) {
    table.error("do", "no step does \"" + text + "\"",
                near.empty() ? "one of " + all : "did you mean \"" + near + "\"?");
  }
  // Its keys are those of what was meant, and no mistakes of their own.
  const auto meant = std::ranges::find(kinds, near, [](StepKind kind) { return word(kind); });
  return meant == kinds.end() ? StepKind::rest : *meant;
}

void check_end(const TomlTable& table, const Step& step) {
  if (!step.at_most) {
    if (!table.has("at_most")) {
      table.error("at_most", "the step \"" + step.name + "\" may never end", "write at_most = \"1 h\"");
    }
    return;
  }
  const auto longest = constant_of(*step.at_most);
  const Second most = energises(step.kind) ? energised_longest : step_longest;
  if (longest && (*longest <= 0.0 || Second(*longest) > most)) {
    table.error("at_most",
                energises(step.kind) ? "a step that energises lasts more than 0 s and at most 72 h"
                                     : "a step lasts more than 0 s and at most 31 days",
                "write at_most = \"1 h\"");
  }
  for (const Condition& condition : step.until) {
    if (longest && condition.hold > Second(*longest)) {
      table.error("until", "\"" + condition.name + "\" must hold for longer than the step may last",
                  "shorten hold or lengthen at_most");
    }
  }
}

Second usual_period(StepKind kind) {
  if (kind == StepKind::rest) return Second(10.0);
  return kind == StepKind::pulse ? every_pulse : Second(0.5);
}

void read_stability(const TomlTable& table, Step& step) {
  if (!table.has("stable")) return;
  const auto within = need_positive(table, "stable", a_voltage, {});
  const auto span = read_duration(table, "stable_for", Second(1.0), step_longest);
  if (!table.has("stable_for")) {
    table.error("stable_for", "it is not said for how long", "write stable_for = \"30 s\"");
  }
  const auto volts = within ? constant_of(*within) : std::nullopt;
  if (within && !volts) table.error("stable", "it uses names", "write a voltage without names");
  if (volts && span) step.stable = Stability{Volt(*volts), *span};
}

void read_course(const TomlTable& table, const Scope& scope, Step& step) {
  step.at_most = read_expression(table, "at_most", a_time, scope);
  if (const auto meaning = table.string("at_most_is")) {
    step.time_limit_is_failure = *meaning == "failure";
    if (*meaning != "failure" && *meaning != "end") {
      table.error("at_most_is", "\"" + *meaning + "\" is not known", "write \"failure\" or \"end\"");
    }
  }
  const bool ends_by_itself = step.kind == StepKind::pulse || step.kind == StepKind::ask;
  if (step.time_limit_is_failure && step.until.empty() && !step.stable && !step.cutoff && !ends_by_itself) {
    table.error("at_most_is",
                "every run would fail here: nothing ends \"" + step.name + "\" before its limit",
                "write an until, or take at_most_is out");
  }
  step.every = usual_period(step.kind);
  const Second slowest = energises(step.kind) ? every_highest_energised : every_highest;
  if (auto every = read_duration(table, "every", every_lowest, slowest)) step.every = *every;
  check_end(table, step);
}

/// A train's length follows from its pulses; the time limit is only there for a line that is slow.
void check_train(const TomlTable& table, const Step& step) {
  if (!step.pulse || !step.at_most) return;
  const auto longest = constant_of(*step.at_most);
  const Second length = (step.pulse->width + step.pulse->pause) * step.pulse->count;
  if (longest && Second(*longest) < length) {
    table.error("at_most", "the pulses take " + std::to_string(static_cast<long>(length.si())) + " s",
                "lengthen at_most, or make fewer pulses");
  }
}

}  // namespace

void read_step(const TomlTable& table, Draft& draft) {
  Step step;
  step.name = table.need_string("name");
  step.where = table.where();
  step.kind = read_kind(table);
  step.what = table.need_string("what");
  const auto same_name = [&](const Step& other) { return other.name == step.name; };
  if (step.name == "end" || std::any_of(draft.steps.begin(), draft.steps.end(), same_name)) {
    table.error("name", "two steps are called \"" + step.name + "\", or it is called end",
                "give each step its own name");
  }
  if (step.kind == StepKind::state) read_statement(table, draft, step);
  if (step.kind == StepKind::decide) read_branch(table, draft, step);
  if (step.kind == StepKind::call) read_call(table, draft, step);
  if (energises(step.kind)) read_energy(table, draft.scope, step);
  if (step.kind == StepKind::rest || step.kind == StepKind::measure) {
    step.until = read_conditions(table, "until", draft.scope);
    step.abort = read_conditions(table, "abort", draft.scope);
    read_stability(table, step);
  }
  if (lasts(step.kind)) {
    read_course(table, draft.scope, step);
    check_train(table, step);
  }
  if (step.kind == StepKind::ask) {
    read_question(table, draft, step);
  } else if (lasts(step.kind)) {
    read_keeps(table, draft, step);
  }
  draft.steps.push_back(std::move(step));
}

}  // namespace leadwright
