// SPDX-License-Identifier: Apache-2.0
// Grammar: condition = conjunction {"or" conjunction}; conjunction = comparison {"and" comparison};
// comparison = sum [("<=" | "<" | ">=" | ">") sum]; sum = product {("+" | "-") product};
// product = factor {("*" | "/") factor}; factor = "-" factor | number [unit ["/" unit]] | name |
// ("min" | "max") "(" sum {"," sum} ")" | "(" condition ")".
#include <algorithm>
#include <charconv>
#include <cmath>
#include <utility>
#include <vector>

#include "daemon/procedure/expression_scanner.h"
#include "protocol/toml_reader.h"

namespace leadwright {
namespace {

constexpr std::size_t length_max = 400;
constexpr int depth_max = 32;
constexpr int exponent_max = 6;

using Node = Expression::Node;
using NodePointer = std::unique_ptr<const Node>;

std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text.append(text.empty() ? "" : " ").append(word);
  return text;
}

std::string quoted(std::string_view text) {
  return std::string(1, '"').append(text).append(1, '"');
}

class Parser : private ExpressionScanner {
 public:
  Parser(std::string_view text, const Scope& scope) : ExpressionScanner(text), scope_(scope) {}

  Result<ParsedExpression> parse() {
    if (text_.size() > length_max)
      return error(0, "the expression is longer than 400 characters", "say it shorter");
    auto root = condition();
    if (!root) return pass(root);
    skip_spaces();
    if (at_ < text_.size())
      return error(at_, quoted(rest()) + " is left over", "write an operator before it");
    return ParsedExpression{std::move(*root), names_, is_kept_};
  }

 private:
  using Part = Result<NodePointer>;
  using Rule = Part (Parser::*)();

  Part condition() { return chain(&Parser::conjunction, "or", Operation::either); }
  Part conjunction() { return chain(&Parser::comparison, "and", Operation::both); }

  Part chain(Rule part, std::string_view joint, Operation operation) {
    auto left = (this->*part)();
    while (left && take_word(joint)) {
      const std::size_t column = at_;
      auto right = (this->*part)();
      if (!right) return right;
      if (!(*left)->unit.truth || !(*right)->unit.truth) {
        return error(column, quoted(joint) + " joins conditions", "write a comparison on both sides");
      }
      left = joined(operation, std::move(*left), std::move(*right), Unit{0, 0, 0, 0, true});
    }
    return left;
  }

  Part comparison() {
    auto left = sum();
    if (!left) return left;
    skip_spaces();
    const std::size_t column = at_;
    Operation operation{};
    if (take("<=")) {
      operation = Operation::less_or_equal;
    } else if (take("<")) {
      operation = Operation::less;
    } else if (take(">=")) {
      operation = Operation::more_or_equal;
    } else if (take(">")) {
      operation = Operation::more;
    } else {
      return left;
    }
    auto right = sum();
    if (!right) return right;
    return alike(column, operation, std::move(*left), std::move(*right), Unit{0, 0, 0, 0, true});
  }

  Part sum() {
    auto left = product();
    while (left) {
      skip_spaces();
      const std::size_t column = at_;
      const bool plus = take("+");
      if (!plus && !take("-")) break;
      auto right = product();
      if (!right) return right;
      const Unit unit = (*left)->unit;
      left = alike(column, plus ? Operation::add : Operation::subtract, std::move(*left), std::move(*right),
                   unit);
    }
    return left;
  }

  Part product() {
    auto left = factor();
    while (left) {
      skip_spaces();
      const std::size_t column = at_;
      const bool times = take("*");
      if (!times && !take("/")) break;
      auto right = factor();
      if (!right) return right;
      left = scaled(column, times, std::move(*left), std::move(*right));
    }
    return left;
  }

  Part factor() {
    if (++depth_ > depth_max) return error(at_, "too deeply nested", "say it simpler");
    auto result = factor_within();
    --depth_;
    return result;
  }

  Part factor_within() {
    skip_spaces();
    const std::size_t column = at_;
    if (at_ == text_.size())
      return error(at_, "something is missing at the end", "write a value, for example \"25 A\"");
    if (take("-")) return negated(column);
    if (take("(")) {
      auto inner = condition();
      if (inner && !take_after_spaces(")")) return error(at_, "a \")\" is missing", "close the bracket");
      return inner;
    }
    if (is_digit(text_[at_]) || text_[at_] == '.') return number();
    if (is_letter(text_[at_])) return named();
    return error(at_, quoted(text_.substr(at_, 1)) + " does not belong here",
                 "write a number with its unit, a name or a bracket");
  }

  Part negated(std::size_t column) {
    auto inner = factor();
    if (!inner) return inner;
    if ((*inner)->unit.truth)
      return error(column, "a condition has no negative", "turn the comparison round");
    auto node = std::make_unique<Node>();
    node->operation = Operation::negate;
    node->unit = (*inner)->unit;
    node->left = std::move(*inner);
    return node;
  }

  Part number() {
    auto node = std::make_unique<Node>();
    const char* begin = text_.data() + at_;
    const auto [end, bad] = std::from_chars(begin, text_.data() + text_.size(), node->number);
    if (bad != std::errc()) return error(at_, "a number can't be read", "write it like 25 or 0.5");
    const std::size_t start = at_;
    at_ += static_cast<std::size_t>(end - begin);
    if (auto unit = take_unit()) {
      node->unit = unit->unit;
      node->number *= unit->si;
      const std::size_t column = at_;
      if (take_after_spaces("/")) {
        if (auto below = take_unit()) {
          node->unit = times(node->unit, below->unit, -1);
          node->number /= below->si;
        } else {
          at_ = column;
        }
      }
    }
    if (!std::isfinite(node->number)) return error(start, "a number is too large", "write it like 25 or 0.5");
    return node;
  }

  Part named() {
    const std::size_t column = at_;
    const std::string_view word = peek_word();
    at_ += word.size();
    skip_spaces();
    if ((word == "min" || word == "max") && take("(")) return extreme(column, word == "min");
    if (const auto slot = scope_.find(word)) return own(*slot);
    const auto name = name_of(word);
    if (!name) return unknown(column, word);
    names_ |= 1u << static_cast<unsigned>(*name);
    auto node = std::make_unique<Node>();
    node->operation = Operation::name;
    node->name = *name;
    node->unit = unit_of(*name);
    return node;
  }

  Part own(std::size_t slot) {
    auto node = std::make_unique<Node>();
    node->operation = Operation::own;
    node->slot = slot;
    node->own = scope_.names()[slot];
    node->unit = node->own.unit;
    is_kept_ |= !node->own.is_settled;
    return node;
  }

  Part extreme(std::size_t column, bool least) {
    auto left = sum();
    int count = 1;
    while (left && take_after_spaces(",")) {
      auto right = sum();
      if (!right) return right;
      const Unit unit = (*left)->unit;
      left = alike(column, least ? Operation::least : Operation::greatest, std::move(*left),
                   std::move(*right), unit);
      ++count;
    }
    if (!left) return left;
    if (!take_after_spaces(")")) return error(at_, "a \")\" is missing", "close the bracket");
    if (count < 2)
      return error(column, "min and max need at least two values", "write them with a comma between");
    return left;
  }

  tl::unexpected<Error> unknown(std::size_t column, std::string_view word) {
    if (unit_word(word)) {
      return error(column, std::string("the unit ") + quoted(word) + " has no number before it",
                   std::string("write for example 1 ").append(word));
    }
    std::vector<std::string> known = known_names();
    for (const OwnName& name : scope_.names()) known.push_back(name.word);
    const std::string near = near_match(word, known);
    return error(column, std::string("nothing is called ") + quoted(word),
                 near.empty() ? std::string("the names are ") + listed(known)
                              : std::string("did you mean ") + quoted(near) + "?");
  }

  /// Two values of one unit.
  Part alike(std::size_t column, Operation operation, NodePointer left, NodePointer right, Unit unit) {
    if (left->unit.truth || right->unit.truth) {
      return error(column, "a condition is used as a value", "join conditions with \"and\" or \"or\"");
    }
    if (!(left->unit == right->unit)) {
      return error(column,
                   std::string("the units do not agree: ") + left->unit.text() + " and " + right->unit.text(),
                   "give both sides the same unit");
    }
    return joined(operation, std::move(left), std::move(right), unit);
  }

  Part scaled(std::size_t column, bool multiply, NodePointer left, NodePointer right) {
    if (left->unit.truth || right->unit.truth) {
      return error(column, "a condition is used as a value", "join conditions with \"and\" or \"or\"");
    }
    const Unit unit = times(left->unit, right->unit, multiply ? 1 : -1);
    for (const int exponent : {unit.volt, unit.ampere, unit.second, unit.kelvin}) {
      if (exponent > exponent_max || exponent < -exponent_max) {
        return error(column, "the unit has too high a power", "say it simpler");
      }
    }
    return joined(multiply ? Operation::multiply : Operation::divide, std::move(left), std::move(right),
                  unit);
  }

  static Unit times(const Unit& a, const Unit& b, int sign) {
    return {a.volt + sign * b.volt, a.ampere + sign * b.ampere, a.second + sign * b.second,
            a.kelvin + sign * b.kelvin, false};
  }

  static Part joined(Operation operation, NodePointer left, NodePointer right, Unit unit) {
    auto node = std::make_unique<Node>();
    node->operation = operation;
    node->unit = unit;
    node->left = std::move(left);
    node->right = std::move(right);
    return node;
  }

  static tl::unexpected<Error> error(std::size_t column, std::string what, std::string mend) {
    return fail(Errc::bad_input,
                std::string("at character ") + std::to_string(column + 1) + ": " + std::move(what), {},
                std::move(mend));
  }

  const Scope& scope_;
  int depth_ = 0;
  std::uint32_t names_ = 0;
  bool is_kept_ = false;
};

}  // namespace

Result<ParsedExpression> parse_expression(std::string_view text, const Scope& scope) {
  return Parser(text, scope).parse();
}

}  // namespace leadwright
