// SPDX-License-Identifier: Apache-2.0
#include "tools/forecast_trial/tables.h"

#include <fmt/format.h>

#include <algorithm>
#include <iostream>
#include <set>

namespace leadwright {

void print_forecasts(const std::vector<TrialCase>& cases, const std::string& title) {
  std::cout << fmt::format("\n{}: {} discharges; after a share of the nominal minutes, in % of them:\n",
                           title, cases.size())
            << fmt::format("{:<24}{:>6}{:>5}{:>8}{:>7}{:>10}{:>12}\n", "method", "after", "n", "bias", "rms",
                           "coverage", "half-width");
  for (const Method method : methods) {
    for (const double share : shares_seen) {
      const ForecastScore found = score(cases, method, share);
      if (found.count == 0) continue;
      std::cout << fmt::format("{:<24}{:>4.0f} %{:>5}{:>+8.1f}{:>7.1f}",
                               share == shares_seen.front() ? word(method) : "", 100.0 * share, found.count,
                               found.bias, found.rms);
      if (method == Method::blind) {
        std::cout << "         -           -\n";
      } else {
        std::cout << fmt::format("{:>8.0f} %{:>12.1f}\n", 100.0 * found.coverage, found.half_width);
      }
    }
  }
}

void print_early(const std::vector<TrialCase>& cases, const std::string& title) {
  std::cout << fmt::format("\n{}: early decisions against a limit, asked every minute\n", title)
            << fmt::format("{:<8}{:>8}{:>14}{:>14}{:>8}{:>10}{:>20}\n", "limit", "miss it", "by forecast",
                           "min saved", "wrong", "reach it", "min saved stopping");
  for (const double limit : {0.6, 0.8, 1.0}) {
    const EarlyScore found = early_score(cases, limit);
    std::cout << fmt::format("{:>4.0f} %  {:>8}{:>14}{:>14.1f}{:>8}{:>10}{:>20.1f}\n", 100.0 * limit,
                             found.missed, found.decided, found.saved_min, found.wrong, found.reached,
                             found.saved_by_stopping_min);
  }
}

void print_signs(const std::vector<TrialCase>& cases, const std::string& title) {
  std::cout << fmt::format(
                   "\n{}: minutes before the end at which the voltage is first said to leave the plateau\n",
                   title)
            << fmt::format("{:<14}{:>5}{:>8}{:>8}{:>8}{:>8}\n", "group", "n", "told", "least", "median",
                           "most");
  std::set<std::string> groups;
  for (const TrialCase& one : cases) groups.insert(one.group);
  for (const std::string& group : groups) {
    const auto all = of_group(cases, group);
    std::vector<double> told;
    for (const TrialCase& one : all)
      if (const auto before = sign_before_end(one)) told.push_back(as_minutes(*before));
    std::ranges::sort(told);
    std::cout << fmt::format("{:<14}{:>5}{:>8}", group, all.size(), told.size());
    if (told.empty()) {
      std::cout << "       -       -       -\n";
    } else {
      std::cout << fmt::format("{:>8.1f}{:>8.1f}{:>8.1f}\n", told.front(), told[told.size() / 2],
                               told.back());
    }
  }
}

}  // namespace leadwright
