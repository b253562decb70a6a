// SPDX-License-Identifier: Apache-2.0
// Walks over the text of an expression: words, symbols, units. Private to this folder.
#pragma once

#include "daemon/procedure/expression_node.h"

namespace leadwright {

class ExpressionScanner {
 public:
  explicit ExpressionScanner(std::string_view text) : text_(text) {}

  std::string_view peek_word() const {
    std::size_t end = at_;
    while (end < text_.size() && (is_letter(text_[end]) || (end > at_ && is_digit(text_[end])))) ++end;
    return text_.substr(at_, end - at_);
  }

  /// "min" followed by a bracket is the function, not the unit.
  std::optional<UnitWord> take_unit() {
    const std::size_t before = at_;
    skip_spaces();
    const std::string_view word =
        at_ < text_.size() && text_[at_] == '%' ? text_.substr(at_, 1) : peek_word();
    auto unit = unit_word(word);
    at_ = unit ? at_ + word.size() : before;
    if (unit && word == "min") {
      const std::size_t after = at_;
      if (take_after_spaces("(")) {
        at_ = before;
        return {};
      }
      at_ = after;
    }
    return unit;
  }

  bool take_word(std::string_view word) {
    skip_spaces();
    if (peek_word() != word) return false;
    at_ += word.size();
    return true;
  }

  bool take(std::string_view symbol) {
    if (text_.substr(at_, symbol.size()) != symbol) return false;
    at_ += symbol.size();
    return true;
  }

  bool take_after_spaces(std::string_view symbol) {
    const std::size_t before = at_;
    skip_spaces();
    if (take(symbol)) return true;
    at_ = before;
    return false;
  }

  void skip_spaces() {
    while (at_ < text_.size() && (text_[at_] == ' ' || text_[at_] == '\t' || text_[at_] == '\n')) ++at_;
  }

  std::string rest() const { return std::string(text_.substr(at_, 20)); }

  static bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_'; }
  static bool is_digit(char c) { return c >= '0' && c <= '9'; }

 protected:
  std::string_view text_;
  std::size_t at_ = 0;
};

}  // namespace leadwright
