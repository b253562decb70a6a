// SPDX-License-Identifier: Apache-2.0
// leadwright-bench [SECTION...]: what the bench costs and how fast it protects. Figures are printed beside
// their aims, never asserted.
#include <algorithm>
#include <array>
#include <iostream>
#include <span>
#include <string_view>

#include "tools/benchmarks/sections.h"

namespace {

struct Section {
  std::string_view name;
  void (*print)(const leadwright::BenchmarkConfig&);
};
constexpr std::array sections{
    Section{"factor", leadwright::print_factor},       Section{"places", leadwright::print_places},
    Section{"exchanges", leadwright::print_exchanges}, Section{"protection", leadwright::print_protection},
    Section{"stop_all", leadwright::print_stop_all},   Section{"load", leadwright::print_load},
    Section{"terminals", leadwright::print_terminals}, Section{"soak", leadwright::print_soak}};
constexpr int usage_error = 64;

}  // namespace

int main(int argc, char** argv) {
  const std::span<char*> wanted(argv + 1, argv + argc);
  for (const std::string_view name : wanted) {
    if (std::ranges::find(sections, name, &Section::name) != sections.end()) continue;
    std::cerr << "usage: leadwright-bench [SECTION...], of";
    for (const Section& section : sections) std::cerr << ' ' << section.name;
    std::cerr << '\n';
    return usage_error;
  }
  const leadwright::BenchmarkConfig config;
  for (const Section& section : sections) {
    const bool is_wanted = wanted.empty() || std::ranges::find(wanted, section.name) != wanted.end();
    if (is_wanted) section.print(config);
  }
  return 0;
}
