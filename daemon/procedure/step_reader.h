// SPDX-License-Identifier: Apache-2.0
// Reads and checks the steps of a procedure file. Private to this folder.
#pragma once

#include <string_view>
#include <vector>

#include "daemon/procedure/procedure.h"
#include "protocol/toml_reader.h"

namespace leadwright {

/// What an expression at a key must be.
struct Expected {
  Unit unit;
  const char* example;
  bool may_be_live = false;
};

inline constexpr Expected a_current{{0, 1, 0, 0, false}, "\"25 A\""};
inline constexpr Expected a_voltage{{1, 0, 0, 0, false}, "\"1.75 V * cells\""};
inline constexpr Expected a_time{{0, 0, 1, 0, false}, "\"30 min\""};
inline constexpr Expected a_temperature{{0, 0, 0, 1, false}, "\"50 degC\""};
inline constexpr Expected a_charge{{0, 1, 1, 0, false}, "\"60 Ah\""};
inline constexpr Expected a_condition{{0, 0, 0, 0, true}, "\"volts <= 1.75 V * cells\"", true};

/// Missing if the key is absent or wrong; what is wrong is added to the document's errors.
std::optional<Expression> read_expression(const TomlTable& table, std::string_view key,
                                          const Expected& expected);

/// Value of an expression that uses no names; missing if it uses any.
std::optional<double> constant_of(const Expression& expression);

/// Reads one step; `earlier` are the steps before it.
Step read_step(const TomlTable& table, const std::vector<Step>& earlier);

}  // namespace leadwright
