// SPDX-License-Identifier: Apache-2.0
// leadwright-minutes-trial [OF_EACH [SEED]]: the minutes that the bench states against the truth, by fault.
// Figures are printed, never asserted.
#include <charconv>
#include <iostream>
#include <span>
#include <string_view>

#include "tools/minutes_trial/trial.h"

namespace {

constexpr int usage_error = 64;

bool read(std::string_view text, int& value) {
  const auto [end, bad] = std::from_chars(text.data(), text.data() + text.size(), value);
  return bad == std::errc() && end == text.data() + text.size() && value > 0;
}

}  // namespace

int main(int argc, char** argv) {
  const std::span<char*> words(argv + 1, argv + argc);
  int of_each = 500;
  int seed = 1;
  const bool is_understood = words.size() <= 2 && (words.empty() || read(words[0], of_each)) &&
                             (words.size() < 2 || read(words[1], seed));
  if (!is_understood) {
    std::cerr << "usage: leadwright-minutes-trial [OF_EACH [SEED]]\n";
    return usage_error;
  }
  const auto all = leadwright::stated_minutes(of_each, static_cast<std::uint64_t>(seed));
  std::cout << leadwright::accuracy_table(leadwright::minutes_accuracy(all));
  return 0;
}
