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
  std::string does;               ///< "draws 25 A; the load itself cuts off at 1.72 V a cell; at most 12 h"
  std::vector<std::string> ends;  ///< "goes on when the voltage is at most 1.75 V a cell (cut-off reached)"
};

/// How an expression is written: in_words() with or without the values of one battery.
using ExpressionWords = std::function<std::string(const Expression&)>;

StepAccount account_of(const Procedure& procedure, const Step& step, const ExpressionWords& words);

}  // namespace leadwright
