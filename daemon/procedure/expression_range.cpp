// SPDX-License-Identifier: Apache-2.0
// Interval arithmetic over expressions.
#include <algorithm>
#include <cmath>
#include <limits>

#include "daemon/procedure/expression_node.h"
#include "daemon/procedure/proof.h"

namespace leadwright {
namespace {

constexpr double endless = std::numeric_limits<double>::infinity();
constexpr Range anything{-endless, endless};

/// 0 times anything is 0 here: an end of an interval is a bound, not a value that is reached.
double product(double a, double b) {
  return a == 0.0 || b == 0.0 ? 0.0 : a * b;
}

Range times(const Range& a, const Range& b) {
  const auto [low, high] = std::minmax(
      {product(a.low, b.low), product(a.low, b.high), product(a.high, b.low), product(a.high, b.high)});
  return {low, high};
}

Range over(const Range& a, const Range& b) {
  if (b.low <= 0.0 && b.high >= 0.0) return anything;
  return times(a, {1.0 / b.high, 1.0 / b.low});
}

Range truth(bool surely, bool never) {
  return {surely ? 1.0 : 0.0, never ? 0.0 : 1.0};
}

Range number(const Expression::Node& node, const Ranges& ranges) {
  switch (node.operation) {
    case Operation::number:
      return {node.number, node.number};
    case Operation::name:
      return ranges.get(node.name);
    case Operation::own:
      return ranges.own(node.slot);
    case Operation::negate: {
      const Range inner = number(*node.left, ranges);
      return {-inner.high, -inner.low};
    }
    default:
      break;
  }
  const Range left = number(*node.left, ranges);
  const Range right = number(*node.right, ranges);
  switch (node.operation) {
    case Operation::add:
      return {left.low + right.low, left.high + right.high};
    case Operation::subtract:
      return {left.low - right.high, left.high - right.low};
    case Operation::multiply:
      return times(left, right);
    case Operation::divide:
      return over(left, right);
    case Operation::less:
      return truth(left.high < right.low, left.low >= right.high);
    case Operation::less_or_equal:
      return truth(left.high <= right.low, left.low > right.high);
    case Operation::more:
      return truth(left.low > right.high, left.high <= right.low);
    case Operation::more_or_equal:
      return truth(left.low >= right.high, left.high < right.low);
    case Operation::both:
    case Operation::least:
      return {std::min(left.low, right.low), std::min(left.high, right.high)};
    case Operation::either:
    case Operation::greatest:
      return {std::max(left.low, right.low), std::max(left.high, right.high)};
    default:
      return anything;
  }
}

}  // namespace

void Ranges::set_own(std::size_t slot, Range range) {
  if (slot >= own_.size()) own_.resize(slot + 1);
  own_[slot] = range;
}

Range Ranges::get(Name name) const {
  return named_[static_cast<std::size_t>(name)].value_or(anything);
}

Range Ranges::own(std::size_t slot) const {
  return slot < own_.size() ? own_[slot].value_or(anything) : anything;
}

Range range_of(const Expression& expression, const Ranges& ranges) {
  return expression.root() != nullptr ? number(*expression.root(), ranges) : anything;
}

}  // namespace leadwright
