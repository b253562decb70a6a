// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/account.h"

#include <fmt/format.h>

#include <algorithm>

#include "daemon/procedure/expression_words.h"

namespace leadwright {
namespace {

std::string where_to(const Procedure& procedure, std::size_t step) {
  return step < procedure.steps.size() ? "\"" + procedure.steps[step].name + "\"" : std::string("the end");
}

std::string draw_words(const Step& step, const ExpressionWords& words) {
  std::string text = "draws ";
  if (step.amps) text += words(*step.amps);
  if (step.watts) text += words(*step.watts);
  if (step.ohms) text += "through " + words(*step.ohms);
  if (step.amps_max) text += ", at most " + words(*step.amps_max);
  if (step.pulse) {
    text = fmt::format("draws {} pulses of {} for {:g} s each, and {} for {:g} s before each",
                       step.pulse->count, words(*step.amps), step.pulse->width.si(), words(step.pulse->base),
                       step.pulse->pause.si());
  }
  if (step.cutoff) text += "; the load itself cuts off at " + words(*step.cutoff);
  if (step.instead) {
    text += fmt::format("; at a load that can't do this it draws {} ({})", words(step.instead->amps),
                        step.instead->note);
  }
  return text;
}

std::string charge_words(const Step& step, const ExpressionWords& words) {
  std::string text = fmt::format("charges with at most {}, up to {}", words(*step.amps), words(*step.volts));
  if (step.watts) text += ", at most " + words(*step.watts);
  return text;
}

std::string finding_words(const Step& step) {
  std::string finding = step.finding;
  std::ranges::replace(finding, '_', ' ');
  std::string text = "works out the finding \"" + finding + "\" from what \"";
  for (std::size_t i = 0; i < step.of.size(); ++i) text.append(i == 0 ? "" : "\" and \"").append(step.of[i]);
  return text + "\" recorded";
}

std::string state_words(const Step& step, const ExpressionWords& words) {
  std::string text =
      step.fault ? fmt::format("records the fault \"{}\": {}", word(step.fault->kind), step.fault->evidence)
                 : finding_words(step);
  if (step.when) text += ", if " + words(*step.when);
  return step.ends ? text + ", and then ends the run" : text;
}

std::string branch_words(const Procedure& procedure, const Step& step, const ExpressionWords& words) {
  std::string text = fmt::format("goes on at {} if {}, else at {}", where_to(procedure, step.branch->then),
                                 words(step.branch->when), where_to(procedure, step.branch->otherwise));
  if (step.branch->times_max > 0)
    text += fmt::format("; it goes back at most {} times", step.branch->times_max);
  return text;
}

std::string does(const Procedure& procedure, const Step& step, const ExpressionWords& words) {
  switch (step.kind) {
    case StepKind::rest:
      return "waits with nothing on";
    case StepKind::measure:
      return step.stable
                 ? fmt::format("measures with nothing on until the voltage stays within {:g} mV for {:g} s",
                               step.stable->within.si() * 1e3, step.stable->span.si())
                 : "measures with nothing on";
    case StepKind::draw:
    case StepKind::pulse:
      return draw_words(step, words);
    case StepKind::charge:
      return charge_words(step, words);
    case StepKind::ask:
      return "asks: " + step.question->text + (step.question->takes_photo ? " (a photo may be added)" : "");
    case StepKind::decide:
      return branch_words(procedure, step, words);
    case StepKind::call:
      return "does what \"" + step.call->procedure + "\" does";
    case StepKind::state:
      return state_words(step, words);
  }
  return {};
}

std::string when_words(const Condition& condition, const ExpressionWords& words) {
  std::string text = words(condition.when);
  if (condition.hold > Second(0.0))
    text += " for " + amount_words(condition.hold.si(), unit_of(Name::step_time));
  return text + " (" + condition.name + ")";
}

}  // namespace

StepAccount account_of(const Procedure& procedure, const Step& step, const ExpressionWords& words) {
  StepAccount account{step.name, step.what, does(procedure, step, words), {}};
  if (step.at_most) {
    account.does += "; at most " + words(*step.at_most);
    if (step.time_limit_is_failure) account.does += ", and the run fails if that is not enough";
  }
  for (const Condition& condition : step.until)
    account.ends.push_back("goes on when " + when_words(condition, words));
  for (const Condition& condition : step.abort)
    account.ends.push_back((condition.asks_for_clamps ? "stops the run and asks for the clamps, once, when "
                                                      : "stops the run when ") +
                           when_words(condition, words));
  if (step.unanswered)
    account.ends.push_back("goes on at " + where_to(procedure, *step.unanswered) + " if nobody answers");
  return account;
}

}  // namespace leadwright
