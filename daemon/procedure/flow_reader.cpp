// SPDX-License-Identifier: Apache-2.0
// Steps that decide, call, ask and state, and what a step keeps.
#include <algorithm>

#include "daemon/battery/findings.h"
#include "daemon/procedure/expression_node.h"
#include "daemon/procedure/step_reader.h"

namespace leadwright {
namespace {

constexpr int times_highest = 100;

std::vector<std::string> answer_words() {
  std::vector<std::string> words;
  for (const AnswerKind kind :
       {AnswerKind::yes_or_no, AnswerKind::number, AnswerKind::choice, AnswerKind::text}) {
    words.emplace_back(word(kind));
  }
  return words;
}

AnswerKind read_answer(const TomlTable& table) {
  const std::string text = table.need_string("answer");
  for (const AnswerKind kind : {AnswerKind::number, AnswerKind::choice, AnswerKind::text}) {
    if (text == word(kind)) return kind;
  }
  if (!text.empty() && text != word(AnswerKind::yes_or_no)) {
    const std::string near = near_match(text, answer_words());
    table.error("answer", "no answer is a \"" + text + "\"",
                near.empty() ? "one of yes or no, number, choice, text" : "did you mean \"" + near + "\"?");
  }
  return AnswerKind::yes_or_no;
}

void read_number(const TomlTable& table, const Scope& scope, Question& question) {
  question.unit_word = table.string("unit").value_or("");
  if (!question.unit_word.empty()) {
    if (const auto unit = unit_word(question.unit_word)) {
      question.unit = unit->unit;
      question.si = unit->si;
    } else {
      table.error("unit", "\"" + question.unit_word + "\" is no unit", "write for example unit = \"V\"");
    }
  }
  const Expected like_unit{question.unit, "\"12.5 V\"", false};
  for (const auto& [key, place] : {std::pair("min", &question.lowest), std::pair("max", &question.highest)}) {
    const auto limit = read_expression(table, key, like_unit, scope);
    if (!limit) continue;
    *place = constant_of(*limit);
    if (!*place) table.error(key, "\"" + limit->text() + "\" uses names", "write an amount without names");
  }
}

void add_jump(const TomlTable& table, const std::string& key, Draft& draft, const std::string& to) {
  draft.jumps.push_back({table, key, draft.steps.size(), to});
}

}  // namespace

void read_question(const TomlTable& table, Draft& draft, Step& step) {
  Question question;
  question.text = table.need_string("question");
  question.kind = read_answer(table);
  if (question.kind == AnswerKind::number) read_number(table, draft.scope, question);
  if (question.kind == AnswerKind::choice) {
    question.choices = table.strings("choices");
    if (question.choices.size() < 2) {
      table.error("choices", "a choice has at least two", "write choices = [\"left\", \"right\"]");
    }
  }
  if (const auto keep = table.string("keep")) {
    const bool is_yes_or_no = question.kind == AnswerKind::yes_or_no;
    question.slot = add_name(table, "keep", draft, {*keep, question.unit, false, is_yes_or_no});
    if (question.kind == AnswerKind::text) {
      table.error("keep", "a text has no value that could be kept", "leave keep out: the answer is recorded");
    }
  }
  if (const auto photo = table.string("photo")) {
    question.takes_photo = *photo == "optional";
    if (!question.takes_photo) {
      table.error("photo", "a photo is never \"" + *photo + "\"",
                  "write photo = \"optional\", or leave it out");
    }
  }
  const std::string unanswered = table.string("unanswered").value_or("stop");
  if (unanswered != "stop") add_jump(table, "unanswered", draft, unanswered);
  step.question = std::move(question);
}

void read_branch(const TomlTable& table, Draft& draft, Step& step) {
  Branch branch;
  auto when = need_expression(table, "when", a_condition, draft.scope);
  if (when) branch.when = std::move(*when);
  branch.then = draft.steps.size() + 1;
  branch.otherwise = branch.then;
  if (!table.has("then") && !table.has("else")) {
    table.error({}, "it is not said where to go on", "write then = \"name of a step\", or \"end\"");
  }
  for (const char* const key : {"then", "else"}) {
    if (const auto to = table.string(key)) add_jump(table, key, draft, *to);
  }
  if (const auto times = table.integer("times_max")) {
    if (*times < 1 || *times > times_highest) {
      table.error("times_max", "a step may go back 1 to 100 times", "write times_max = 3");
    }
    branch.times_max = static_cast<int>(std::clamp<std::int64_t>(*times, 1, times_highest));
  }
  step.branch = std::move(branch);
}

void read_call(const TomlTable& table, const Draft& draft, Step& step) {
  Call call;
  call.procedure = table.need_string("procedure");
  if (const auto with = table.table("with")) {
    for (const std::string& word : with->keys()) {
      auto amount = read_amount(*with, word, draft.scope);
      if (!amount) continue;
      if (amount->is_kept()) {
        with->error(word, "\"" + amount->text() + "\" is known only after a step",
                    "an argument is made of the nameplate, parameters and tables: it is proved beforehand");
      }
      call.with.emplace_back(word, std::move(*amount));
    }
  }
  step.call = std::move(call);
}

void read_statement(const TomlTable& table, const Draft& draft, Step& step) {
  step.when = read_expression(table, "when", a_condition, draft.scope);
  step.ends = table.boolean("ends").value_or(false);
  if (table.has("finding") == table.has("fault")) {
    table.error({}, "a state step states one finding or one fault",
                "write finding = \"...\" and of = [...], or fault = \"...\" and evidence = \"...\"");
  }
  if (table.has("fault")) {
    StatedFault fault;
    const std::string kind = table.need_string("fault");
    if (const auto known = fault_kind_of(kind)) {
      fault.kind = *known;
    } else {
      table.error("fault", "no fault is called \"" + kind + "\"",
                  "one of shorted_cell, open_circuit, reversed, wrong_cell_count, not_lead, takes_no_charge");
    }
    fault.evidence = table.need_string("evidence");
    step.fault = std::move(fault);
    return;
  }
  step.finding = table.string("finding").value_or("");
  step.of = table.strings("of");
  if (!step.finding.empty() && !is_calculation(step.finding)) {
    table.error("finding", "nothing computes \"" + step.finding + "\"",
                "the calculations are listed in daemon/battery/findings.h");
  }
  if (step.of.empty()) table.error("of", "it is not said of which steps", "write of = [\"name of a step\"]");
  for (const std::string& name : step.of) {
    const auto is_named = [&](const Step& other) { return other.name == name && lasts(other.kind); };
    if (std::any_of(draft.steps.begin(), draft.steps.end(), is_named)) continue;
    table.error("of", "no earlier step is called \"" + name + "\"", "name a step that comes before this one");
  }
}

void read_keeps(const TomlTable& table, Draft& draft, Step& step) {
  const auto keeps = table.table("keep");
  if (!keeps) return;
  for (const std::string& word : keeps->keys()) {
    const auto text = keeps->string(word);
    if (!text) continue;
    auto value = Expression::parse(*text, keeps->where(word), draft.scope);
    if (!value) {
      keeps->error(word, value.error().what, value.error().mend);
      continue;
    }
    if (value->unit().truth) {
      keeps->error(word, "a condition can't be kept", "keep the value, and compare it later");
      continue;
    }
    // A step that a loop runs again may keep under the same name; a later one may refresh it.
    const auto known = draft.scope.find(word);
    const bool same =
        known && !draft.scope.names()[*known].is_settled && draft.scope.names()[*known].unit == value->unit();
    const auto slot = same ? known : add_name(*keeps, word, draft, {word, value->unit(), false});
    if (slot) step.keeps.push_back({*slot, std::move(*value)});
  }
}

void resolve_jumps(Draft& draft) {
  for (const Jump& jump : draft.jumps) {
    Step& from = draft.steps[jump.step];
    std::size_t to = 0;
    while (to < draft.steps.size() && draft.steps[to].name != jump.to) ++to;
    if (to == draft.steps.size() && jump.to != "end") {
      std::vector<std::string> names{"end"};
      for (const Step& step : draft.steps) names.push_back(step.name);
      const std::string near = near_match(jump.to, names);
      jump.table.error(
          jump.key, "no step is called \"" + jump.to + "\"",
          near.empty() ? "name a step of this file, or \"end\"" : "did you mean \"" + near + "\"?");
      continue;
    }
    if (to <= jump.step && jump.key == "unanswered") {
      jump.table.error(jump.key, "an unanswered question can't go back", "name a later step, or \"end\"");
      continue;
    }
    if (to <= jump.step && from.branch && from.branch->times_max == 0) {
      jump.table.error(jump.key, "going back to \"" + jump.to + "\" may never end", "add times_max = 3");
    }
    if (jump.key == "then") from.branch->then = to;
    if (jump.key == "else") from.branch->otherwise = to;
    if (jump.key == "unanswered") from.unanswered = to;
  }
}

}  // namespace leadwright
