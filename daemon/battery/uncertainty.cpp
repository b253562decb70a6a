// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/uncertainty.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <utility>

namespace leadwright {
namespace {

double u_of_reading(double reading, double relative, double absolute, double resolution) {
  const double accuracy = rectangular(relative * std::abs(reading) + absolute);
  const double digit = rectangular(0.5 * resolution);
  return std::hypot(accuracy, digit);
}

}  // namespace

Volt u_of(Volt reading, const MeterAccuracy& accuracy) {
  return Volt(u_of_reading(reading.si(), accuracy.volts_relative, accuracy.volts_absolute.si(),
                           accuracy.volts_resolution.si()));
}

Ampere u_of(Ampere reading, const MeterAccuracy& accuracy) {
  return Ampere(u_of_reading(reading.si(), accuracy.amps_relative, accuracy.amps_absolute.si(),
                             accuracy.amps_resolution.si()));
}

double combined(const std::vector<BudgetLine>& budget) {
  double squares = 0.0;
  for (const BudgetLine& line : budget) squares += line.u * line.u;
  return std::sqrt(squares);
}

MeterAccuracy widened(MeterAccuracy accuracy, double factor) {
  accuracy.volts_relative *= factor;
  accuracy.volts_absolute = accuracy.volts_absolute * factor;
  accuracy.amps_relative *= factor;
  accuracy.amps_absolute = accuracy.amps_absolute * factor;
  accuracy.temperature_absolute = accuracy.temperature_absolute * factor;
  return accuracy;
}

double combined(std::span<const double> contributions, std::span<const Correlation> correlations) {
  double squares = 0.0;
  for (const double each : contributions) squares += each * each;
  for (const Correlation& pair : correlations) {
    if (std::max(pair.first, pair.second) >= contributions.size()) continue;
    squares += 2.0 * pair.r * contributions[pair.first] * contributions[pair.second];
  }
  // Rounded correlations may take a little more than there is.
  return std::sqrt(std::max(0.0, squares));
}

std::string fixed(double value, int decimals) {
  std::array<char, 64> buffer{};
  const auto [end, error] =
      std::to_chars(buffer.data(), buffer.data() + buffer.size(), value, std::chars_format::fixed, decimals);
  if (error != std::errc()) return "?";
  return std::string(buffer.data(), end);
}

std::string sensitivity_text(double per_unit, std::string_view unit) {
  std::array<char, 64> buffer{};
  const auto [end, error] = std::to_chars(buffer.data(), buffer.data() + buffer.size(), std::abs(per_unit),
                                          std::chars_format::general, 3);
  if (error != std::errc()) return "?";
  std::string text(buffer.data(), end);
  return text.append(" ").append(unit);
}

Finding with_budget(Finding finding, std::vector<BudgetLine> budget) {
  finding.u = combined(budget);
  const double variance = finding.u * finding.u;
  for (BudgetLine& line : budget) {
    if (variance > 0.0) line.share = line.u * line.u / variance;
  }
  finding.budget = std::move(budget);
  return finding;
}

}  // namespace leadwright
