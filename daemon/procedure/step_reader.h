// SPDX-License-Identifier: Apache-2.0
// Reads and checks the parts of a procedure file. Private to this folder. What is wrong is added to the
// document's errors; reading goes on with something harmless in its place.
#pragma once

#include <string_view>
#include <vector>

#include "daemon/procedure/procedure.h"
#include "protocol/toml_reader.h"

namespace leadwright {

inline constexpr Second step_longest = hours(24.0 * 31.0);
inline constexpr Second energised_longest = hours(72.0);
inline constexpr Second every_lowest{0.02};

/// What an expression at a key must be.
struct Expected {
  Unit unit;
  const char* example;
  bool may_be_live = false;
};

inline constexpr Expected a_current{{0, 1, 0, 0, false}, "\"25 A\""};
inline constexpr Expected a_voltage{{1, 0, 0, 0, false}, "\"1.75 V * cells\""};
inline constexpr Expected a_power{{1, 1, 0, 0, false}, "\"100 W\""};
inline constexpr Expected a_resistance{{1, -1, 0, 0, false}, "\"0.5 ohm\""};
inline constexpr Expected a_time{{0, 0, 1, 0, false}, "\"30 min\""};
inline constexpr Expected a_temperature{{0, 0, 0, 1, false}, "\"50 degC\""};
inline constexpr Expected a_charge{{0, 1, 1, 0, false}, "\"60 Ah\""};
inline constexpr Expected a_condition{{0, 0, 0, 0, true}, "\"volts <= 1.75 V * cells\"", true};

/// A name of a step that may come later in the file.
struct Jump {
  TomlTable table;
  std::string key;
  std::size_t step = 0;  ///< that jumps
  std::string to;
};

/// What has been read of a file so far.
struct Draft {
  Scope scope;
  std::vector<Step> steps;
  std::vector<Jump> jumps;
};

/// Missing if the key is absent or wrong.
std::optional<Expression> read_expression(const TomlTable& table, std::string_view key,
                                          const Expected& expected, const Scope& scope);
/// As above, and absence is an error as well.
std::optional<Expression> need_expression(const TomlTable& table, std::string_view key,
                                          const Expected& expected, const Scope& scope);
/// An amount of a step that must be above zero.
std::optional<Expression> need_positive(const TomlTable& table, std::string_view key,
                                        const Expected& expected, const Scope& scope);
/// An expression of any unit, without live names.
std::optional<Expression> read_amount(const TomlTable& table, std::string_view key, const Scope& scope);
/// Value of an expression that uses no names; missing if it uses any.
std::optional<double> constant_of(const Expression& expression);
/// A duration without names, within bounds.
std::optional<Second> read_duration(const TomlTable& table, std::string_view key, Second lowest,
                                    Second highest);
std::vector<Condition> read_conditions(const TomlTable& step, std::string_view key, const Scope& scope);

/// Slot of a new name of the file's own; what is wrong with it is an error at the key.
std::optional<std::size_t> add_name(const TomlTable& table, std::string_view key, Draft& draft, OwnName name);
/// [parameters] and [tables]: adds their names to the scope.
void read_names(const TomlTable& root, Draft& draft, Frame& frame);
/// Adds one step to the draft.
void read_step(const TomlTable& table, Draft& draft);
/// Currents, voltages and what a step that energises does with them.
void read_energy(const TomlTable& table, const Scope& scope, Step& step);
void read_question(const TomlTable& table, Draft& draft, Step& step);
void read_branch(const TomlTable& table, Draft& draft, Step& step);
void read_call(const TomlTable& table, const Draft& draft, Step& step);
void read_statement(const TomlTable& table, const Draft& draft, Step& step);
void read_keeps(const TomlTable& table, Draft& draft, Step& step);
/// Names of steps become indices; called once all steps are there.
void resolve_jumps(Draft& draft);

}  // namespace leadwright
