// SPDX-License-Identifier: Apache-2.0
// The tree of a parsed expression. Private to this folder.
#pragma once

#include <cstdint>
#include <memory>
#include <string>

#include "daemon/procedure/expression.h"

namespace leadwright {

enum class Operation : std::uint8_t {
  number,
  name,
  own,
  negate,
  add,
  subtract,
  multiply,
  divide,
  less,
  less_or_equal,
  more,
  more_or_equal,
  both,
  either,
  least,
  greatest,
};

struct Expression::Node {
  Operation operation = Operation::number;
  Unit unit;
  double number = 0.0;
  Name name = Name::cells;
  std::size_t slot = 0;  ///< of an own name
  OwnName own;           ///< what it is
  std::unique_ptr<const Node> left;
  std::unique_ptr<const Node> right;
};

struct ParsedExpression {
  std::unique_ptr<const Expression::Node> root;
  std::uint32_t names = 0;
  bool is_kept = false;
};

/// Fails with bad_input: what is wrong and at which character of the text.
Result<ParsedExpression> parse_expression(std::string_view text, const Scope& scope);

/// As Expression::evaluate(), of a part of it.
std::optional<double> value_of(const Expression::Node& node, const Values& values);

/// A unit's word: its dimension and how many SI units it is.
struct UnitWord {
  Unit unit;
  double si = 1.0;
};
std::optional<UnitWord> unit_word(std::string_view word);

/// Every name that every procedure has, for messages.
std::vector<std::string> known_names();

}  // namespace leadwright
