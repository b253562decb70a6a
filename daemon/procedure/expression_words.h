// SPDX-License-Identifier: Apache-2.0
// Expressions as a bench hand reads them: "the voltage is at most 1.75 V x cells", or for one battery "the
// voltage is at most 10.5 V". Pure; any thread.
#pragma once

#include <string>

#include "daemon/procedure/expression.h"

namespace leadwright {

/// The file's own amounts, with every name in plain words.
std::string in_words(const Expression& expression);

/// The same, where whatever `known` decides already is one number.
std::string in_words(const Expression& expression, const Values& known);

/// The error of an amount that can't be known because the label does not state what it is made of.
Error lacks_datum(const Expression& expression, const Values& values, const std::string& where);

/// An amount in SI in the unit that people use for it: "25 A", "10.5 V", "60 Ah", "12 h", "90 s".
std::string amount_words(double si, const Unit& unit);

}  // namespace leadwright
