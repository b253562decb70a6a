// SPDX-License-Identifier: Apache-2.0
// An expression of a procedure: evaluation gives a finite value or none, a refusal names a column in the
// text.
#include "daemon/procedure/expression.h"

#include <charconv>
#include <cmath>

#include "tests/fuzz/target.h"

namespace leadwright {
namespace {

constexpr std::size_t name_count = static_cast<std::size_t>(Name::count_);

Values all_known() {
  Values values;
  for (std::size_t i = 0; i < name_count; ++i) {
    values.set(static_cast<Name>(i), 0.5 + 3.0 * static_cast<double>(i));
  }
  return values;
}

void check_value(const Expression& expression, const Values& values) {
  const auto value = expression.evaluate(values);
  promise(!value || std::isfinite(*value), "a value is finite or missing");
  promise(expression.holds(values) == (value && *value != 0.0), "what is missing does not hold");
  if (value && expression.unit().truth) promise(*value == 0.0 || *value == 1.0, "a condition is 1 or 0");
  promise(expression.evaluate(values) == value, "evaluation is deterministic");
}

void check_taken(const Expression& expression, std::string_view text) {
  promise(expression.text() == text, "the text is kept");
  promise(!expression.unit().text().empty(), "a unit has a text");
  bool uses_any = false;
  for (std::size_t i = 0; i < name_count; ++i) uses_any = uses_any || expression.uses(static_cast<Name>(i));
  promise(uses_any || !expression.is_live(), "what uses no name is not live");
  const Values known = all_known();
  check_value(expression, known);
  check_value(expression, Values());
  if (!uses_any) promise(expression.evaluate(known) == expression.evaluate({}), "a constant needs no name");
  std::string in_brackets = "(";
  in_brackets.append(text).append(")");
  const auto bracketed = Expression::parse(in_brackets, "fuzz");
  if (!bracketed) return;
  promise(bracketed->unit() == expression.unit(), "brackets keep the unit");
  promise(bracketed->evaluate(known) == expression.evaluate(known), "brackets keep the value");
}

void check_refused(const Error& error, std::string_view text) {
  constexpr std::string_view opening = "at character ";
  promise(error.code == Errc::bad_input && error.where == "fuzz", "a refusal is bad input, and says where");
  promise(error.what.starts_with(opening) && !error.mend.empty(), "a refusal says how to mend it");
  std::size_t column = 0;
  const char* const end = error.what.data() + error.what.size();
  const auto [rest, bad] = std::from_chars(error.what.data() + opening.size(), end, column);
  promise(bad == std::errc() && rest != end && *rest == ':', "a refusal names a column");
  promise(column >= 1 && column <= text.size() + 1, "the column is one of the text");
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = leadwright::text_of(data, size);
  const auto parsed = leadwright::Expression::parse(text, "fuzz");
  if (parsed) {
    leadwright::check_taken(*parsed, text);
  } else {
    leadwright::check_refused(parsed.error(), text);
  }
  return 0;
}
