// SPDX-License-Identifier: Apache-2.0
// leadwright-forecast-trial tune|held_out [--kinds]: how well the end of a discharge is foretold, by method.
// `tune` shows the halves that everything was chosen on, `held_out` the others: outside traces of groups B
// and E, and 500 batteries of our simulator from another seed. Figures are printed, never asserted.
#include <iostream>
#include <set>
#include <span>
#include <string_view>

#include "tools/forecast_trial/tables.h"

namespace {

constexpr int usage_error = 64;
constexpr int data_error = 65;
constexpr int simulated_count = 500;

}  // namespace

int main(int argc, char** argv) {
  using namespace leadwright;
  const std::span<char*> words(argv + 1, argv + argc);
  const bool kinds = words.size() == 2 && std::string_view(words[1]) == "--kinds";
  const std::string_view which = words.empty() ? "" : words[0];
  if ((which != "tune" && which != "held_out") || words.size() > (kinds ? 2U : 1U)) {
    std::cerr << "usage: leadwright-forecast-trial tune|held_out [--kinds]\n";
    return usage_error;
  }
  const Half half = which == "tune" ? Half::to_tune_on : Half::held_out;
  auto outside = reference_cases(LEADWRIGHT_SOURCE_DIR "/tests/reference/porous-electrode", half);
  if (!outside) {
    std::cerr << outside.error().line() << '\n';
    return data_error;
  }
  const auto simulated = simulated_cases(simulated_count, half == Half::to_tune_on ? 1 : 4);
  const auto group_b = of_group(*outside, "B");
  const auto group_e = of_group(*outside, "E");
  print_forecasts(group_b, "group B (all cells alike)");
  print_forecasts(group_e, "group E (one weak cell)");
  print_forecasts(simulated, "simulated");
  if (kinds) {
    std::set<std::string> groups;
    for (const TrialCase& one : simulated) groups.insert(one.group);
    for (const std::string& group : groups)
      print_forecasts(of_group(simulated, group), "simulated, " + group);
  }
  print_early(group_b, "group B");
  print_early(group_e, "group E");
  print_early(simulated, "simulated");
  print_signs(*outside, "outside traces");
  print_signs(simulated, "simulated");
  return 0;
}
