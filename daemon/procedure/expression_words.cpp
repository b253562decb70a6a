// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/expression_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "daemon/procedure/expression_node.h"

namespace leadwright {
namespace {

using Node = Expression::Node;

constexpr std::array<const char*, static_cast<std::size_t>(Name::count_)> phrases{
    "cells",
    "CCA",
    "cranking load (half the CCA, else 3 A for each Ah)",
    "RC",
    "C20",
    "the capacity",
    "the charge voltage",
    "what the load can draw",
    "what the charger can give",
    "the OCV found before",
    "the SOC found before",
    "the resistance found before",
    "the RC found before",
    "the voltage",
    "the current",
    "the case temperature",
    "the time in this step",
    "the time in this run",
    "the charge moved in this step",
    "the rise of the voltage",
    "the fall of the current",
    "the voltage a cell",
    "the charge given in this run",
    "the energy moved in this step",
    "the rise of the case temperature",
    "the latest end that is likely",
};
static_assert(phrases.back() != nullptr);

/// What people count a unit in: its word, and how many of it are one in SI.
struct PeopleUnit {
  std::string word;
  double of_si = 1.0;
};

PeopleUnit people_unit(double si, const Unit& unit) {
  constexpr double an_hour = 3600.0;
  if (unit == unit_of(Name::step_time)) {
    if (std::abs(si) < 120.0) return {" s", 1.0};
    return std::abs(si) < 2.0 * an_hour ? PeopleUnit{" min", 1.0 / 60.0} : PeopleUnit{" h", 1.0 / an_hour};
  }
  if (unit == unit_of(Name::capacity)) return {" Ah", 1.0 / an_hour};
  if (unit == unit_of(Name::step_energy)) return {" Wh", 1.0 / an_hour};
  if (unit == unit_of(Name::case_temperature)) return {" degC", 1.0};
  if (unit == unit_of(Name::resistance_found)) return {" mohm", 1e3};
  if (unit == unit_of(Name::slope)) return {" mV/h", 1e3 * an_hour};
  if (unit == unit_of(Name::warming)) return {" K/h", an_hour};
  if (unit == unit_of(Name::amps_change)) return {" %/h", 1e2 * an_hour};
  return {unit == Unit{} ? std::string() : fmt::format(" {}", unit.text()), 1.0};
}

/// As the file has it, to six digits.
std::string exact_words(double si, const Unit& unit) {
  if (unit == unit_of(Name::step_time) && std::fmod(si, 3600.0) == 0.0)
    return fmt::format("{:g} h", si / 3600.0);
  const PeopleUnit people = people_unit(si, unit);
  return fmt::format("{:g}{}", si * people.of_si, people.word);
}

class Wording {
 public:
  explicit Wording(const Values* known) : known_(known) {}

  std::string of(const Expression& expression) const {
    return expression.root() == nullptr ? std::string() : words(*expression.root());
  }

 private:
  static bool is_joint(Operation operation) {
    return operation == Operation::both || operation == Operation::either;
  }
  static bool is_extreme(Operation operation) {
    return operation == Operation::least || operation == Operation::greatest;
  }
  static bool is_sum(Operation operation) {
    return operation == Operation::add || operation == Operation::subtract;
  }

  /// Live names change while a step runs, so no number can stand for them beforehand.
  static bool is_settled(const Node& node, bool constant) {
    if (node.operation == Operation::name) return !constant && !is_live(node.name);
    if (node.operation == Operation::own) return !constant;
    return (!node.left || is_settled(*node.left, constant)) &&
           (!node.right || is_settled(*node.right, constant));
  }

  static bool is_a_cell(const Node& product) {
    return product.right->operation == Operation::name && product.right->name == Name::cells &&
           product.left->unit == unit_of(Name::volts);
  }

  std::optional<double> decided(const Node& node) const {
    if (known_ == nullptr || node.unit.truth || !is_settled(node, false)) return {};
    return value_of(node, *known_);
  }

  std::string words(const Node& node) const {
    if (!node.unit.truth && is_settled(node, true)) {
      if (const auto value = value_of(node, Values())) return exact_words(*value, node.unit);
    }
    if (const auto value = decided(node)) return amount_words(*value, node.unit);
    switch (node.operation) {
      case Operation::name:
        return phrases[static_cast<std::size_t>(node.name)];
      case Operation::own:
        return own_words(node);
      case Operation::negate:
        return fmt::format("-{}", factor(*node.left));
      case Operation::add:
        return fmt::format("{} + {}", words(*node.left), words(*node.right));
      case Operation::subtract:
        return fmt::format("{} - {}", words(*node.left), factor(*node.right));
      case Operation::multiply:
        if (is_a_cell(node)) return fmt::format("{} a cell", factor(*node.left));
        return fmt::format("{} x {}", factor(*node.left), factor(*node.right));
      case Operation::divide:
        return fmt::format("{} / {}", factor(*node.left), divisor(*node.right));
      case Operation::least:
        return fmt::format("the smaller of {} and {}", part(*node.left), part(*node.right));
      case Operation::greatest:
        return fmt::format("the larger of {} and {}", part(*node.left), part(*node.right));
      case Operation::both:
        return fmt::format("{} and {}", side(*node.left, Operation::both),
                           side(*node.right, Operation::both));
      case Operation::either:
        return fmt::format("{} or {}", side(*node.left, Operation::either),
                           side(*node.right, Operation::either));
      default:
        return comparison(node);
    }
  }

  static std::string own_words(const Node& node) {
    std::string text = node.own.word;
    std::ranges::replace(text, '_', ' ');
    return fmt::format("\"{}\"", text);
  }

  static std::string in_brackets(const std::string& text) { return fmt::format("({})", text); }

  bool stands_apart(const Node& node) const { return node.operation != Operation::number && !decided(node); }
  std::string factor(const Node& node) const {
    const bool loose = is_sum(node.operation) || is_extreme(node.operation);
    return loose && stands_apart(node) ? in_brackets(words(node)) : words(node);
  }
  std::string divisor(const Node& node) const {
    const bool loose = node.operation == Operation::multiply || node.operation == Operation::divide;
    return loose && stands_apart(node) ? in_brackets(words(node)) : factor(node);
  }
  std::string part(const Node& node) const {
    return is_extreme(node.operation) && stands_apart(node) ? in_brackets(words(node)) : words(node);
  }
  std::string side(const Node& node, Operation joint) const {
    return is_joint(node.operation) && node.operation != joint ? in_brackets(words(node)) : words(node);
  }

  std::string comparison(const Node& node) const {
    if (const auto& left = *node.left; left.operation == Operation::own && left.own.is_yes_or_no) {
      const bool yes = node.operation == Operation::more || node.operation == Operation::more_or_equal;
      return own_words(left) + (yes ? " was answered with yes" : " was answered with no");
    }
    const char* const is = node.operation == Operation::less            ? " is below "
                           : node.operation == Operation::less_or_equal ? " is at most "
                           : node.operation == Operation::more          ? " is above "
                                                                        : " is at least ";
    return words(*node.left) + is + words(*node.right);
  }

  const Values* known_;
};

}  // namespace

std::string in_words(const Expression& expression) {
  return Wording(nullptr).of(expression);
}

std::string in_words(const Expression& expression, const Values& known) {
  return Wording(&known).of(expression);
}

Error lacks_datum(const Expression& expression, const Values& values, const std::string& where) {
  std::string lacking;
  for (const Name name : {Name::cells, Name::cca, Name::cranking_load, Name::reserve_capacity, Name::c20}) {
    if (!expression.uses(name) || values.get(name)) continue;
    lacking.append(lacking.empty() ? "" : " and ").append(phrases[static_cast<std::size_t>(name)]);
  }
  if (lacking.empty()) {
    return {Errc::bad_input, fmt::format("\"{}\" needs what this battery or place lacks", expression.text()),
            where, "complete the nameplate, or take another place"};
  }
  return {Errc::bad_input, fmt::format("it needs the {} of the battery, and its label states none", lacking),
          where, "complete the nameplate, or take another procedure"};
}

std::string amount_words(double si, const Unit& unit) {
  const PeopleUnit people = people_unit(si, unit);
  const double value = si * people.of_si;
  if (unit == unit_of(Name::step_time)) {
    return people.of_si < 1.0 ? fmt::format("{:g}{}", std::round(value * 10.0) / 10.0, people.word)
                              : fmt::format("{:g}{}", value, people.word);
  }
  if (unit == unit_of(Name::case_temperature)) return fmt::format("{:.1f}{}", value, people.word);
  if (unit == Unit{}) return fmt::format("{:g}", value);
  const double size = std::abs(value);
  return size >= 100.0 ? fmt::format("{:.0f}{}", value, people.word)
                       : fmt::format("{:.{}f}{}", value, size >= 10.0 ? 1 : 2, people.word);
}

}  // namespace leadwright
