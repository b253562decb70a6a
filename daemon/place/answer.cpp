// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/answer.h"

#include <fmt/format.h>

#include <algorithm>

#include "daemon/procedure/procedure.h"

namespace leadwright {

namespace {

std::string listed_choices(const std::vector<std::string>& choices) {
  std::string text;
  for (const std::string& choice : choices) text.append(text.empty() ? "" : ", ").append(choice);
  return text;
}

tl::unexpected<Error> not_taken(const Question& question, std::string mend) {
  return fail(Errc::bad_input, fmt::format("this is no answer to: {}", question.text), "answer",
              std::move(mend));
}

Result<std::optional<double>> number_worth(const Question& question, const std::string& answer) {
  const auto example = [&question] {
    return question.unit_word.empty() ? std::string("12.5") : "12.5 " + question.unit_word;
  };
  const auto amount = Expression::parse(answer, "answer");
  const auto value = amount ? amount->evaluate(Values()) : std::nullopt;
  if (!value) return not_taken(question, fmt::format("write a number, for example {}", example()));
  const bool is_bare = amount->unit() == Unit{};
  if (!is_bare && !(amount->unit() == question.unit)) {
    return not_taken(question,
                     fmt::format("the unit is {}, not {}", question.unit.text(), amount->unit().text()));
  }
  const double si = is_bare ? *value * question.si : *value;
  const auto shown_limit = [&question](double limit) {
    return fmt::format("{:g}{}{}", limit / question.si, question.unit_word.empty() ? "" : " ",
                       question.unit_word);
  };
  if (question.lowest && si < *question.lowest) {
    return not_taken(question, fmt::format("the least is {}", shown_limit(*question.lowest)));
  }
  if (question.highest && si > *question.highest) {
    return not_taken(question, fmt::format("the most is {}", shown_limit(*question.highest)));
  }
  return si;
}

}  // namespace

std::string question_text(const Question& question) {
  switch (question.kind) {
    case AnswerKind::yes_or_no:
      return question.text + " (yes or no)";
    case AnswerKind::number:
      return question.unit_word.empty() ? question.text + " (a number)"
                                        : fmt::format("{} (in {})", question.text, question.unit_word);
    case AnswerKind::choice:
      return fmt::format("{} (one of: {})", question.text, listed_choices(question.choices));
    case AnswerKind::text:
      break;
  }
  return question.text;
}

Result<std::optional<double>> worth_of(const Question& question, const std::string& answer) {
  if (question.kind == AnswerKind::number) return number_worth(question, answer);
  if (question.kind == AnswerKind::yes_or_no) {
    if (answer == "yes") return 1.0;
    if (answer == "no") return 0.0;
    return not_taken(question, "answer yes or no");
  }
  if (question.kind == AnswerKind::choice) {
    const auto chosen = std::ranges::find(question.choices, answer);
    if (chosen == question.choices.end()) {
      return not_taken(question, fmt::format("answer one of: {}", listed_choices(question.choices)));
    }
    return static_cast<double>(chosen - question.choices.begin());
  }
  if (answer.empty()) return not_taken(question, "write a few words");
  return std::nullopt;
}

}  // namespace leadwright
