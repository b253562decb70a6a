// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/evidence.h"

#include <algorithm>
#include <cmath>

#include "daemon/battery/uncertainty.h"
#include "daemon/grading/full_charge.h"

namespace leadwright {
namespace {

/// The part of a finding's uncertainty that differs from run to run.
double u_of_spread(const Finding& finding) {
  for (const BudgetLine& line : finding.budget) {
    if (line.quantity == battery_repeatability) return line.u;
  }
  return 0.0;
}

/// Of the mean of so many tests: what is common to them is fully correlated, the spread is independent.
double u_of_mean(double common, double spread, std::size_t tests) {
  const auto count = static_cast<double>(tests);
  std::vector<double> contributions(tests, common / count);
  contributions.resize(2 * tests, spread / count);
  std::vector<Correlation> same_meters;
  for (std::size_t one = 0; one < tests; ++one)
    for (std::size_t other = one + 1; other < tests; ++other) same_meters.push_back({one, other, 1.0});
  return combined(std::span<const double>(contributions), same_meters);
}

bool was_completed(const Run& run, std::string_view procedure) {
  return run.procedure == procedure && run.outcome == RunOutcome::complete;
}

}  // namespace

const Finding* newest(const Evidence& evidence, Measurand measurand) {
  const Finding* best = nullptr;
  for (const Finding& finding : evidence.findings) {
    if (finding.measurand != measurand) continue;
    if (best == nullptr || finding.at > best->at || (finding.at == best->at && finding.run >= best->run)) {
      best = &finding;
    }
  }
  return best;
}

const Finding* of_same_run(const Evidence& evidence, Measurand measurand, const Finding& other) {
  for (const Finding& finding : evidence.findings) {
    if (finding.measurand == measurand && finding.run == other.run) return &finding;
  }
  return nullptr;
}

const Finding* charge_before(const Evidence& evidence, const Finding& test) {
  const Finding* best = nullptr;
  for (const Finding& finding : evidence.findings) {
    if (finding.at > test.at || finding.run == test.run) continue;
    if (finding.measurand == Measurand::soc && (best == nullptr || finding.at >= best->at)) best = &finding;
  }
  if (best == nullptr) return nullptr;
  for (const Finding& finding : evidence.findings) {
    const bool moved = finding.measurand == Measurand::returned || finding.measurand == Measurand::delivered;
    if (moved && finding.at > best->at && finding.at < test.at && finding.run != test.run) return nullptr;
  }
  return best;
}

RunId last_completed(const Evidence& evidence, std::string_view procedure) {
  RunId last{};
  for (const Run& run : evidence.runs) {
    if (was_completed(run, procedure)) last = std::max(last, run.id);
  }
  return last;
}

bool has_completed(const Evidence& evidence, std::string_view procedure, const Finding& test) {
  return std::ranges::any_of(
      evidence.runs, [&](const Run& run) { return run.id < test.run && was_completed(run, procedure); });
}

std::optional<TestResult> mean_of_tests(const Evidence& evidence, Measurand measurand,
                                        const PolicyProcedures& named) {
  TestResult result;
  result.newest = newest(evidence, measurand);
  if (result.newest == nullptr) return std::nullopt;
  RunId since{};
  for (const Run& run : evidence.runs) {
    if (run.id < result.newest->run && was_completed(run, named.conditioning))
      since = std::max(since, run.id);
  }
  const double spread = u_of_spread(*result.newest);
  const double apart_max = 2.0 * std::sqrt(2.0) * spread;
  double sum = 0.0;
  result.count = 0;
  for (const Finding& finding : evidence.findings) {
    if (finding.measurand != measurand || finding.run < since) continue;
    const bool agrees = std::abs(finding.value - result.newest->value) < apart_max;
    if (&finding != result.newest && !(agrees && began_full(evidence, finding, named))) continue;
    sum += finding.value;
    ++result.count;
  }
  const double u = result.newest->u;
  const double common = std::sqrt(std::max(0.0, u * u - spread * spread));
  result.value = sum / static_cast<double>(result.count);
  result.u = result.count == 1 ? u : u_of_mean(common, spread, result.count);
  result.u_repeated = u_of_mean(common, spread, result.count + 1);
  return result;
}

}  // namespace leadwright
