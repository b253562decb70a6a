// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/cable_words.h"

#include <string>

#include "tools/benchsim/command_words.h"

namespace leadwright {

namespace {

constexpr int count_max = 100'000;
constexpr double seconds_max = 86'400.0;
constexpr const char* forms =
    "write lost, late SECONDS, truncated BYTES, dropped BYTE, doubled, split PIECES SECONDS, flipped BIT, "
    "rubbish BYTES or endless; then question, after N, times N, always";

tl::unexpected<Error> wrong(const char* what, std::string_view word) {
  return fail(Errc::bad_input, std::string(what).append(word.empty() ? "nothing" : word), "cable", forms);
}

/// Takes a number off `rest`.
template <class Number>
Result<Number> number(std::string_view& rest, Number least, Number most) {
  const std::string_view word = take_word(rest);
  const auto value = number_word(word, least, most);
  if (!value) return wrong("not a number, or out of range: ", word);
  return *value;
}

Result<CableFault> counted(std::string_view& rest, int least, CableFault (*make)(int)) {
  auto count = number(rest, least, count_max);
  if (!count) return pass(count);
  return make(*count);
}

Result<CableFault> kind_of(std::string_view word, std::string_view& rest) {
  if (word == "lost") return CableFault::lost();
  if (word == "doubled") return CableFault::doubled();
  if (word == "endless") return CableFault::endless();
  if (word == "truncated") return counted(rest, 1, CableFault::truncated);
  if (word == "dropped") return counted(rest, 0, CableFault::dropped);
  if (word == "flipped") return counted(rest, 0, CableFault::flipped);
  if (word == "rubbish") return counted(rest, 1, CableFault::rubbish);
  if (word == "late") {
    auto time = number(rest, 0.0, seconds_max);
    if (!time) return pass(time);
    return CableFault::late(Second(*time));
  }
  if (word == "split") {
    auto count = number(rest, 2, count_max);
    if (!count) return pass(count);
    auto time = number(rest, 0.0, seconds_max);
    if (!time) return pass(time);
    return CableFault::split(*count, Second(*time));
  }
  return wrong("no such fault of a line: ", word);
}

}  // namespace

Result<CableFault> read_cable_fault(std::string_view words) {
  const std::string_view first = take_word(words);
  auto fault = kind_of(first, words);
  if (!fault) return fault;
  while (!words.empty()) {
    const std::string_view word = take_word(words);
    if (word == "question") {
      if (fault->kind == CableFault::Kind::late || fault->kind == CableFault::Kind::endless) {
        return wrong("a question can't be ", first);
      }
      fault = fault->of_questions();
    } else if (word == "always") {
      fault = fault->in_a_row(0);
    } else if (word == "after" || word == "times") {
      auto count = number(words, word == "times" ? 1 : 0, count_max);
      if (!count) return pass(count);
      fault = word == "times" ? fault->in_a_row(*count) : fault->after(*count);
    } else {
      return wrong("can't read the word ", word);
    }
  }
  return fault;
}

}  // namespace leadwright
