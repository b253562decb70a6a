// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/report.h"

#include <fmt/format.h>

#include <algorithm>

#include "drivers/memory_link.h"
#include "tools/simtest_world/reactions.h"
#include "tools/simtest_world/shape.h"

namespace leadwright {

namespace {

/// More of one seed are one story.
constexpr std::size_t told_max = 5;

std::string command(const SimtestOptions& options, std::uint64_t seed) {
  std::string text = fmt::format("tools/simtest --seed {} --hours {}", seed, options.hours.si() / 3600.0);
  if (!options.ceiling.empty()) {
    text += " --ceiling ";
    for (std::size_t i = 0; i < options.ceiling.size(); ++i)
      text.append(i == 0 ? "" : ",").append(options.ceiling[i]);
  }
  return fmt::format("{} --log seed-{}.log", text, seed);
}

std::vector<FaultName> all_kinds() {
  std::vector<FaultName> kinds;
  kinds.reserve(LinkFaults::words.size() + all_strikes().size() + all_mistakes().size());
  for (const char* word : LinkFaults::words) kinds.push_back(std::string("link.") + word);
  for (const auto* names : {&all_strikes(), &all_mistakes()})
    kinds.insert(kinds.end(), names->begin(), names->end());
  std::ranges::sort(kinds);
  return kinds;
}

}  // namespace

std::string violations_text(const SimtestOptions& options, std::uint64_t seed, const SeedResult& result) {
  std::string text;
  for (std::size_t i = 0; i < std::min(result.violations.size(), told_max); ++i) {
    const Violation& each = result.violations[i];
    text += fmt::format("seed {} at {:.3f} s: {}: {}\n", seed, (each.at - Instant()).si(), each.promise,
                        each.what);
  }
  if (result.violations.size() > told_max)
    text += fmt::format("seed {}: and {} more\n", seed, result.violations.size() - told_max);
  if (!text.empty()) text += fmt::format("  again: {}\n", command(options, seed));
  return text;
}

std::string differs_text(const SimtestOptions& options, std::uint64_t seed) {
  return fmt::format("seed {}: same_world: two runs of it differ\n  again: {}\n", seed,
                     command(options, seed));
}

std::string broken_off_text(const SimtestOptions& options, std::uint64_t seed, bool hung) {
  return fmt::format("seed {}: the world {}\n  again: {}\n", seed, hung ? "hangs" : "broke off",
                     command(options, seed));
}

std::string table_text(const Tally& sum, Second wall_time) {
  std::string text;
  const auto row = [&text](const std::string& name, const std::string& value) {
    text += fmt::format("  {:<28}{:>12}\n", name, value);
  };
  const double bay_hours = static_cast<double>(sum.of("place seconds")) / 3600.0;
  text += "worlds\n";
  row("seeds", std::to_string(sum.of("seeds")));
  row("bay-hours", fmt::format("{:.0f}", bay_hours));
  row("wall time", fmt::format("{:.1f} s", wall_time.si()));
  row("bay-hours per second", fmt::format("{:.1f}", bay_hours / wall_time.si()));
  for (const auto& [name, count] : sum.counts()) {
    if (name.starts_with("fault ") || name == "seeds" || name.ends_with(" seconds") || name == "violations" ||
        name.starts_with("reaction "))
      continue;
    row(name, std::to_string(count));
  }
  text += "faults and mistakes that struck\n";
  for (const FaultName& name : all_kinds()) row(name, std::to_string(sum.of("fault " + name)));
  row("violations", std::to_string(sum.of("violations")));
  return text + reactions_text(sum);
}

std::string hash_text(std::uint64_t seed, std::uint64_t hash) {
  return fmt::format("seed {} hash {:016x}\n", seed, hash);
}

std::string seldom_text(const Tally& sum, std::uint64_t least) {
  std::string text;
  for (const FaultName& name : all_kinds()) {
    const std::uint64_t count = sum.of("fault " + name);
    if (count < least) text += fmt::format("{} struck {} times, fewer than {}\n", name, count, least);
  }
  return text;
}

}  // namespace leadwright
