// SPDX-License-Identifier: Apache-2.0
// A procedure in plain sentences, for a bench hand who reads it before it runs. Pure; any thread.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "daemon/procedure/procedure.h"

namespace leadwright {

struct StepAccount {
  std::string name;
  std::string what;               ///< the file's own sentence
  std::string does;               ///< "draws 25 A; the load's own cut-off at 1.72 V * cells; at most 12 h"
  std::vector<std::string> ends;  ///< "ends when volts <= 1.75 V * cells (cut-off reached)"
};

/// How an amount is written: as the file has it, or as the number that it is for one battery.
using AmountWords = std::function<std::string(const Expression&)>;
/// The text of the file.
std::string as_written(const Expression& expression);

StepAccount account_of(const Procedure& procedure, const Step& step, const AmountWords& amount);

/// An amount in SI in the unit that people use for it: "25 A", "10.5 V", "60 Ah", "12 h", "90 s".
std::string amount_words(double si, const Unit& unit);

}  // namespace leadwright
