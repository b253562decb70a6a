// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/account.h"

#include <fmt/format.h>

#include <cmath>

namespace leadwright {
namespace {

std::string where_to(const Procedure& procedure, std::size_t step) {
  return step < procedure.steps.size() ? "\"" + procedure.steps[step].name + "\"" : std::string("the end");
}

std::string draw_words(const Step& step, const AmountWords& amount) {
  std::string text = "draws ";
  if (step.amps) text += amount(*step.amps);
  if (step.watts) text += amount(*step.watts);
  if (step.ohms) text += "through " + amount(*step.ohms);
  if (step.amps_max) text += ", at most " + amount(*step.amps_max);
  if (step.pulse) {
    text = fmt::format("gives {} pulses of {} for {:g} s, with {} for {:g} s before each", step.pulse->count,
                       amount(*step.amps), step.pulse->width.si(), amount(step.pulse->base),
                       step.pulse->pause.si());
  }
  if (step.cutoff) text += "; the load's own cut-off at " + amount(*step.cutoff);
  if (step.instead) {
    text += fmt::format("; where the load can't: {} instead ({})", amount(step.instead->amps),
                        step.instead->note);
  }
  return text;
}

std::string charge_words(const Step& step, const AmountWords& amount) {
  std::string text = fmt::format("charges with at most {} up to {}", amount(*step.amps), amount(*step.volts));
  if (step.watts) text += ", at most " + amount(*step.watts);
  return text;
}

std::string state_words(const Step& step) {
  std::string text;
  if (step.fault) text = fmt::format("states the fault {}: {}", word(step.fault->kind), step.fault->evidence);
  if (!step.fault) {
    text = "states " + step.finding + " from ";
    for (std::size_t i = 0; i < step.of.size(); ++i) text.append(i == 0 ? "" : " and ").append(step.of[i]);
  }
  if (step.when) text += " if " + step.when->text();
  return step.ends ? text + ", and ends the run then" : text;
}

std::string branch_words(const Procedure& procedure, const Step& step) {
  std::string text =
      fmt::format("if {} it goes on at {}, else at {}", step.branch->when.text(),
                  where_to(procedure, step.branch->then), where_to(procedure, step.branch->otherwise));
  if (step.branch->times_max > 0) text += fmt::format("; back at most {} times", step.branch->times_max);
  return text;
}

std::string does(const Procedure& procedure, const Step& step, const AmountWords& amount) {
  switch (step.kind) {
    case StepKind::rest:
      return "rests with nothing on";
    case StepKind::measure:
      return step.stable
                 ? fmt::format("measures with nothing on until the voltage stays within {:g} mV for {:g} s",
                               step.stable->within.si() * 1e3, step.stable->span.si())
                 : "measures with nothing on";
    case StepKind::draw:
    case StepKind::pulse:
      return draw_words(step, amount);
    case StepKind::charge:
      return charge_words(step, amount);
    case StepKind::ask:
      return "asks: " + step.question->text;
    case StepKind::decide:
      return branch_words(procedure, step);
    case StepKind::call:
      return "does what \"" + step.call->procedure + "\" does";
    case StepKind::state:
      return state_words(step);
  }
  return {};
}

std::string held(const Condition& condition) {
  return condition.hold > Second(0.0) ? " for " + amount_words(condition.hold.si(), {0, 0, 1, 0, false}) : "";
}

}  // namespace

std::string as_written(const Expression& expression) {
  return expression.text();
}

std::string amount_words(double si, const Unit& unit) {
  const auto rounded = [](double value) {
    const double size = std::abs(value);
    return size >= 100.0 ? fmt::format("{:.0f}", value) : fmt::format("{:.{}f}", value, size >= 10.0 ? 1 : 2);
  };
  if (unit == unit_of(Name::step_time)) {
    if (std::abs(si) < 120.0) return fmt::format("{:g} s", si);
    return std::abs(si) < 7200.0 ? fmt::format("{:g} min", std::round(si / 6.0) / 10.0)
                                 : fmt::format("{:g} h", std::round(si / 360.0) / 10.0);
  }
  if (unit == unit_of(Name::capacity)) return rounded(si / 3600.0) + " Ah";
  if (unit == unit_of(Name::step_energy)) return rounded(si / 3600.0) + " Wh";
  if (unit == unit_of(Name::case_temperature)) return fmt::format("{:.1f} degC", si);
  if (unit == unit_of(Name::resistance_found)) return rounded(si * 1e3) + " mohm";
  return unit == Unit{} ? fmt::format("{:g}", si) : rounded(si) + " " + unit.text();
}

StepAccount account_of(const Procedure& procedure, const Step& step, const AmountWords& amount) {
  StepAccount account{step.name, step.what, does(procedure, step, amount), {}};
  if (step.at_most) {
    account.does += "; at most " + amount(*step.at_most);
    if (step.time_limit_is_failure) account.does += ", which would be a failure";
  }
  for (const Condition& condition : step.until) {
    account.ends.push_back(
        fmt::format("ends when {}{} ({})", condition.when.text(), held(condition), condition.name));
  }
  for (const Condition& condition : step.abort) {
    account.ends.push_back(
        fmt::format("stops the run when {}{} ({})", condition.when.text(), held(condition), condition.name));
  }
  if (step.unanswered)
    account.ends.push_back("unanswered, it goes on at " + where_to(procedure, *step.unanswered));
  return account;
}

}  // namespace leadwright
