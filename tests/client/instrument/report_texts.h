// SPDX-License-Identifier: Apache-2.0
// What a report of the probe says, for matchers.
#pragma once

#include <string>
#include <vector>

#include "tools/client/instrument/probe.h"

namespace leadwright {

using Verdict = ProbeFinding::Verdict;

/// "subject: text" of each finding with this verdict.
inline std::vector<std::string> texts(const ProbeReport& report, Verdict verdict) {
  std::vector<std::string> lines;
  for (const ProbeFinding& finding : report.findings) {
    if (finding.verdict == verdict) lines.push_back(finding.subject + ": " + finding.text);
  }
  return lines;
}

}  // namespace leadwright
