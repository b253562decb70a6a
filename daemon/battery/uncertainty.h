// SPDX-License-Identifier: Apache-2.0
// Standard uncertainties of meter readings and their combination (GUM, JCGM 100:2008). Pure; any thread.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/battery/findings.h"

namespace leadwright {

/// Standard uncertainty of a rectangular distribution: half-width / sqrt(3) [GUM 4.3.7].
template <class Q>
Q rectangular(Q half_width) {
  constexpr double root_3 = 1.7320508075688772;
  return half_width / root_3;
}

/// Of one reading at this value, from the profile's half-widths; half a digit of resolution counts as a
/// half-width of its own. Accuracy and resolution are added in squares.
Volt u_of(Volt reading, const MeterAccuracy& accuracy);
Ampere u_of(Ampere reading, const MeterAccuracy& accuracy);

/// Root of the sum of squares of the lines' contributions [GUM 5.1.2, independent inputs].
double combined(const std::vector<BudgetLine>& budget);

/// Limits of error so many times as wide; a resolution is what it is.
MeterAccuracy widened(MeterAccuracy accuracy, double factor);

/// Expanded uncertainty is so many standard ones: 95 % of a normal distribution (M).
inline constexpr double coverage_factor = 2.0;

/// How two inputs of a budget go together, -1..1: 1 for two readings of one meter whose gain is not known.
struct Correlation {
  std::size_t first = 0;
  std::size_t second = 0;
  double r = 0.0;
};

/// u^2 = sum c_i^2 u_i^2 + 2 sum r_ij c_i u_i c_j u_j [GUM 5.2.2]. `contributions` are c_i u_i with the sign
/// of the sensitivity; a pair that is not named is independent, one outside the contributions is left out.
double combined(std::span<const double> contributions, std::span<const Correlation> correlations);

/// Fixed notation with this many decimals, independent of any locale: "10.50".
std::string fixed(double value, int decimals);

/// Name of the line that differs from run to run of one battery; all others are the same for each of its
/// runs.
inline constexpr std::string_view battery_repeatability = "battery's repeatability";

/// A sensitivity as a person reads it, three digits: "8.33 min/V".
std::string sensitivity_text(double per_unit, std::string_view unit);

/// Adds a finding's uncertainty from its budget of independent lines, and to each line its share of the
/// variance. What one meter does to several readings is one line, so that it adds up before it is squared.
Finding with_budget(Finding finding, std::vector<BudgetLine> budget);

}  // namespace leadwright
