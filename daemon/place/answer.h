// SPDX-License-Identifier: Apache-2.0
// A person's answer to a question of a procedure, in words. Pure; any thread.
#pragma once

#include <optional>
#include <string>

#include "protocol/result.h"

namespace leadwright {

struct Question;

/// What an answer in words is worth to an expression: an amount with or without its unit, yes or no as 1 and
/// 0, the index of a choice; nothing for a text. Fails with bad_input, naming what would be accepted.
Result<std::optional<double>> worth_of(const Question& question, const std::string& answer);
/// The question with what can be answered, for a person.
std::string question_text(const Question& question);

}  // namespace leadwright
