// SPDX-License-Identifier: Apache-2.0
// The tables of the trial, printed. Nothing is asserted here: tests/tools/forecast_trial_test.cpp does.
#pragma once

#include <string>
#include <vector>

#include "tools/forecast_trial/methods.h"

namespace leadwright {

inline constexpr std::array shares_seen{0.05, 0.10, 0.20, 0.40, 0.60};

/// Of all cases that still go on at that share of their nominal minutes, in % of the nominal minutes.
struct ForecastScore {
  int count = 0;
  double bias = 0.0;
  double rms = 0.0;
  double coverage = 0.0;  ///< 0 to 1
  double half_width = 0.0;
};
ForecastScore score(const std::vector<TrialCase>& cases, Method method, double share);

/// "Does not reach" by forecast, asked every minute, against shares of the nominal minutes.
struct EarlyScore {
  int missed = 0;          ///< cases that truly end before the limit
  int decided = 0;         ///< of them by forecast
  int wrong = 0;           ///< cases that reach the limit and were said not to
  double saved_min = 0.0;  ///< mean of those decided
  int reached = 0;
  double saved_by_stopping_min = 0.0;  ///< mean of those, by stopping 5 % beyond the limit
};
EarlyScore early_score(const std::vector<TrialCase>& cases, double limit_share);

/// When the voltage is first said to leave the plateau, before the end; missing if never.
std::optional<Second> sign_before_end(const TrialCase& one);

std::vector<TrialCase> of_group(const std::vector<TrialCase>& cases, const std::string& group);

void print_forecasts(const std::vector<TrialCase>& cases, const std::string& title);
void print_early(const std::vector<TrialCase>& cases, const std::string& title);
void print_signs(const std::vector<TrialCase>& cases, const std::string& title);

}  // namespace leadwright
