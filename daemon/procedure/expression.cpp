// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/expression.h"

#include <cmath>
#include <utility>

#include "daemon/procedure/expression_node.h"

namespace leadwright {
namespace {

using Value = std::optional<double>;

Value truth_of(const Expression::Node& node, const Values& values) {
  const Value left = value_of(*node.left, values);
  const bool decisive = node.operation == Operation::either;
  if (left && (*left != 0.0) == decisive) return left;
  const Value right = value_of(*node.right, values);
  if (right && (*right != 0.0) == decisive) return right;
  return left && right ? right : Value();
}

double combine(Operation operation, double left, double right) {
  switch (operation) {
    case Operation::add:
      return left + right;
    case Operation::subtract:
      return left - right;
    case Operation::multiply:
      return left * right;
    case Operation::divide:
      return left / right;
    case Operation::less:
      return left < right ? 1.0 : 0.0;
    case Operation::less_or_equal:
      return left <= right ? 1.0 : 0.0;
    case Operation::more:
      return left > right ? 1.0 : 0.0;
    case Operation::more_or_equal:
      return left >= right ? 1.0 : 0.0;
    case Operation::least:
      return std::fmin(left, right);
    default:
      return std::fmax(left, right);
  }
}

}  // namespace

std::optional<double> value_of(const Expression::Node& node, const Values& values) {
  switch (node.operation) {
    case Operation::number:
      return node.number;
    case Operation::name:
      return values.get(node.name);
    case Operation::own:
      return values.own(node.slot);
    case Operation::both:
    case Operation::either:
      return truth_of(node, values);
    case Operation::negate: {
      const Value value = value_of(*node.left, values);
      return value ? Value(-*value) : Value();
    }
    default:
      break;
  }
  const Value left = value_of(*node.left, values);
  if (!left) return {};
  const Value right = value_of(*node.right, values);
  if (!right) return {};
  const double result = combine(node.operation, *left, *right);
  return std::isfinite(result) ? Value(result) : Value();
}

Result<Expression> Expression::parse(std::string_view text, std::string_view where, const Scope& scope) {
  auto parsed = parse_expression(text, scope);
  if (!parsed) {
    parsed.error().where = std::string(where);
    return pass(parsed);
  }
  Expression expression;
  expression.root_ = std::shared_ptr<const Node>(std::move(parsed->root));
  expression.text_ = std::make_shared<const std::string>(text);
  expression.names_ = parsed->names;
  expression.is_kept_ = parsed->is_kept;
  return expression;
}

Unit Expression::unit() const {
  return root_ ? root_->unit : Unit{};
}

const std::string& Expression::text() const {
  static const std::string empty;
  return text_ ? *text_ : empty;
}

std::optional<double> Expression::evaluate(const Values& values) const {
  return root_ ? value_of(*root_, values) : std::nullopt;
}

bool Expression::holds(const Values& values) const {
  const auto value = evaluate(values);
  return value && *value != 0.0;
}

bool Expression::is_live() const {
  for (unsigned i = 0; i < static_cast<unsigned>(Name::count_); ++i) {
    const auto name = static_cast<Name>(i);
    if (uses(name) && leadwright::is_live(name)) return true;
  }
  return false;
}

}  // namespace leadwright
