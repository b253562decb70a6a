// SPDX-License-Identifier: Apache-2.0
// Small expressions with units: "25 A", "1.75 V * cells", "min(0.2 * capacity / 1 h, 12 A)",
// "volts <= 1.75 V * cells", "slope < 5 mV/h and step_time > 30 min". Parsed and dimension-checked when a
// file is loaded; evaluation can't fail, it can only be missing. Pure; any thread.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "daemon/quantities/quantity.h"
#include "protocol/result.h"

namespace leadwright {

/// Exponents over volt, ampere, second, kelvin; a truth value is its own kind.
struct Unit {
  int volt = 0;
  int ampere = 0;
  int second = 0;
  int kelvin = 0;
  bool truth = false;
  bool operator==(const Unit&) const = default;
  std::string text() const;  ///< "V", "A", "V/s", "a condition", "a number"
};

/// The names an expression may use. Temperature counts in degC and has unit kelvin.
enum class Name {
  cells,             ///< from the nameplate: number
  cca,               ///< A
  reserve_capacity,  ///< s
  c20,               ///< C (ampere-seconds; "60 Ah" reads as this)
  capacity,          ///< C20 if stated, else 25 A x RC, else 40 Ah (common practice, no source)
  charge_volts,      ///< charge limit of the chemistry for the whole battery at the present temperature, V
  volts,             ///< live: the last sample; missing if not measured
  amps,              ///< live: magnitude of the battery current
  case_temperature,  ///< live: degC
  step_time,         ///< s
  run_time,          ///< s
  step_charge,       ///< C, magnitude of the charge moved in this step
  slope,             ///< V/s over the last 30 min of this step (all of it if it is younger); signed
  amps_change,       ///< share per hour by which the current fell over the last hour of this step: number/s
  count_,            ///< number of names
};
std::optional<Name> name_of(std::string_view word);
const char* word(Name name);
Unit unit_of(Name name);
/// Known only while a step runs, so not to be used for what is set before it (currents, limits, times).
bool is_live(Name name);

/// Values for evaluation, in SI (degC for temperature). A missing value makes every result that needs it
/// missing.
class Values {
 public:
  void set(Name name, std::optional<double> si) { values_[static_cast<std::size_t>(name)] = si; }
  const std::optional<double>& get(Name name) const { return values_[static_cast<std::size_t>(name)]; }

 private:
  std::array<std::optional<double>, static_cast<std::size_t>(Name::count_)> values_;
};

class Expression {
 public:
  /// Fails with bad_input naming the offending part and its column within `where` ("file:line:column: key").
  static Result<Expression> parse(std::string_view text, std::string_view where);
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

  struct Node;

 private:
  std::shared_ptr<const Node> root_;
  std::shared_ptr<const std::string> text_;
  std::uint32_t names_ = 0;  ///< one bit for each name
};

}  // namespace leadwright
