// SPDX-License-Identifier: Apache-2.0
// The shipped policies, and evidence to judge by them.
#pragma once

#include <gtest/gtest.h>

#include <string>

#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

inline Policy shipped(const std::string& name) {
  auto policy = load_policy(LEADWRIGHT_SOURCE_DIR "/config/policies/" + name + ".toml");
  EXPECT_TRUE(policy) << policy.error()[0].line();
  return policy ? *policy : Policy{};
}

/// Stated at the end of that run.
inline Finding measured(Measurand measurand, double value, double u, int run) {
  Finding finding;
  finding.measurand = measurand;
  finding.value = value;
  finding.u = u;
  finding.run = RunId{run};
  finding.at = Utc(1000 * run);
  return finding;
}

inline Run complete_run(int id, const std::string& procedure) {
  Run run;
  run.id = RunId{id};
  run.procedure = procedure;
  run.outcome = RunOutcome::complete;
  return run;
}

/// Flooded, rated 100 min; rested in run 2; a load test in run 3; charged in run 4; run 5 at 24 degC.
inline Evidence charged_and_rested(double load_margin) {
  Evidence evidence;
  evidence.nameplate.chemistry = Chemistry::flooded;
  evidence.nameplate.cells = 6;
  evidence.nameplate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::en};
  evidence.findings = {measured(Measurand::ocv, 12.66, 0.01, 2), measured(Measurand::soc, 0.98, 0.04, 2),
                       measured(Measurand::load_margin, load_margin, 0.02, 3),
                       measured(Measurand::temperature, 24.0, 0.6, 5)};
  evidence.runs = {complete_run(2, "stability rest"), complete_run(3, "half-CCA load test"),
                   complete_run(4, "standard charge")};
  return evidence;
}

}  // namespace leadwright
