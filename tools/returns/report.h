// SPDX-License-Identifier: Apache-2.0
// A summary for people (tables) and for the page (JSON with the data of its plots). Pure; any thread.
#pragma once

#include <string>
#include <vector>

#include "tools/returns/summary.h"

namespace leadwright {

/// What was rehearsed, for the head of the report.
struct RehearsalFacts {
  std::string policy;  ///< name and version
  std::string mix;     ///< name and version
  std::uint64_t seed = 1;
  int threads = 1;
  Second cpu;  ///< of the process
  QueueShape queue;
};

std::string returns_table(const Summary& summary, const std::vector<RehearsedReturn>& all,
                          const RehearsalFacts& facts);
/// One object; every number with its unit in its key; missing ones and open ends are null.
std::string returns_json(const Summary& summary, const std::vector<RehearsedReturn>& all,
                         const RehearsalFacts& facts);
/// One return in detail: the battery, the truth, each run, the grade and its reason, and the full sequence.
std::string return_story(const RehearsedReturn& one, const AcceptanceLine& line);
/// What the figures rest on, one sentence each.
const std::vector<std::string>& returns_depend_on();

}  // namespace leadwright
