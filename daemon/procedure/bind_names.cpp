// SPDX-License-Identifier: Apache-2.0
// Parameters and tables get their values before a run.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/procedure/procedure.h"

namespace leadwright {
namespace {

Result<double> amount_of(const Expression& expression, const Values& values, const std::string& word,
                         const Procedure& procedure) {
  const auto value = expression.evaluate(values);
  if (value) return *value;
  return fail(Errc::bad_input,
              fmt::format("{} = \"{}\" needs a datum that this battery lacks", word, expression.text()),
              procedure.file, "complete the nameplate, or choose the value");
}

Result<void> check_limits(const Parameter& parameter, double value, const Values& values,
                          const Procedure& procedure) {
  const auto outside = [&](const std::optional<Expression>& limit, bool is_lowest) {
    const auto number = limit ? limit->evaluate(values) : std::nullopt;
    return number && (is_lowest ? value < *number : value > *number);
  };
  const bool low = outside(parameter.lowest, true);
  if (!low && !outside(parameter.highest, false)) return {};
  return fail(Errc::bad_input,
              fmt::format("{} is {} its limit of {}", parameter.word, low ? "below" : "above",
                          low ? parameter.lowest->text() : parameter.highest->text()),
              procedure.file, "choose a value within the limits of the parameter");
}

/// The argument of a call, the choice of a person, or the default.
Result<double> value_of_parameter(const Procedure& procedure, std::size_t frame, const Parameter& parameter,
                                  const Choices& chosen, Values& values) {
  const Frame& here = procedure.frames[frame];
  const auto argument = std::ranges::find_if(
      here.arguments, [&parameter](const auto& each) { return each.first == parameter.slot; });
  if (argument != here.arguments.end()) {
    values.enter(here.parent);
    Result<double> given = amount_of(argument->second, values, parameter.word, procedure);
    values.enter(frame);
    return given;
  }
  if (frame == 0) {
    const auto choice =
        std::ranges::find_if(chosen, [&parameter](const auto& each) { return each.first == parameter.word; });
    if (choice != chosen.end()) return choice->second;
  }
  return amount_of(parameter.initial, values, parameter.word, procedure);
}

}  // namespace

Result<void> bind_names(const Procedure& procedure, Chemistry chemistry, const Choices& chosen,
                        Values& values) {
  for (const auto& [word, value] : chosen) {
    const auto& known = procedure.frames.front().parameters;
    if (std::ranges::any_of(known, [&word = word](const Parameter& each) { return each.word == word; })) {
      continue;
    }
    return fail(Errc::bad_input, fmt::format("{} has no parameter \"{}\"", procedure.name, word),
                procedure.file, "its [parameters] are those that can be chosen");
  }
  const auto found = std::ranges::find(ChemistryTable::chemistries, treated_as(chemistry));
  for (std::size_t frame = 0; frame < procedure.frames.size(); ++frame) {
    values.enter(frame);
    for (const ChemistryTable& table : procedure.frames[frame].tables) {
      if (found == ChemistryTable::chemistries.end()) {
        return fail(Errc::refused, fmt::format("{} has values for lead chemistries only", table.word),
                    procedure.file, "a battery of unknown chemistry is never energised");
      }
      const auto row = static_cast<std::size_t>(found - ChemistryTable::chemistries.begin());
      const Result<double> value = amount_of(table.values[row], values, table.word, procedure);
      if (!value) return tl::unexpected<Error>(value.error());
      values.set_own(table.slot, *value);
    }
    for (const Parameter& parameter : procedure.frames[frame].parameters) {
      const Result<double> value = value_of_parameter(procedure, frame, parameter, chosen, values);
      if (!value) return tl::unexpected<Error>(value.error());
      Result<void> allowed = check_limits(parameter, *value, values, procedure);
      if (!allowed) return allowed;
      values.set_own(parameter.slot, *value);
    }
  }
  values.enter(0);
  return {};
}

}  // namespace leadwright
