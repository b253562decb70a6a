// SPDX-License-Identifier: Apache-2.0
// Small expressions with units: "25 A", "1.75 V * cells", "min(0.2 * capacity / 1 h, 12 A)",
// "volts <= 1.75 V * cells", "slope < 5 mV/h and step_time > 30 min". Parsed and dimension-checked when a
// file is loaded; evaluation can't fail, it can only be missing. Pure; any thread.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "daemon/procedure/values.h"
#include "daemon/quantities/quantity.h"
#include "protocol/result.h"

namespace leadwright {

class Expression {
 public:
  /// Fails with bad_input naming the offending part and its column within `where` ("file:line:column: key").
  static Result<Expression> parse(std::string_view text, std::string_view where, const Scope& scope = {});
  Unit unit() const;
  const std::string& text() const;
  /// The value in SI; for a condition 1 or 0. Missing if it needs a missing value ("or" does not need the
  /// other side of a true one, "and" not that of a false one) and where a division has no result.
  std::optional<double> evaluate(const Values& values) const;
  /// Truth of a condition; a missing value is not true.
  bool holds(const Values& values) const;
  bool uses(Name name) const { return (names_ >> static_cast<unsigned>(name) & 1u) != 0u; }
  /// Whether it uses any live name.
  bool is_live() const;
  /// Whether it uses a value that a step keeps, which is known only after that step.
  bool is_kept() const { return is_kept_; }

  struct Node;
  /// The tree, for those who reason about it (expression_range.h); null for an empty expression.
  const Node* root() const { return root_.get(); }

 private:
  std::shared_ptr<const Node> root_;
  std::shared_ptr<const std::string> text_;
  std::uint32_t names_ = 0;  ///< one bit for each name
  bool is_kept_ = false;
};

}  // namespace leadwright
