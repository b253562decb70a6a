// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/recall.h"

#include <algorithm>

#include "daemon/queue/regrade.h"

namespace leadwright {
namespace {

bool is_named(const UsedInstrument& used, const std::string& wanted) {
  if (wanted.empty()) return false;
  return used.name == wanted || used.identity == wanted || used.identity.ends_with(" " + wanted);
}

}  // namespace

bool measured_by(const Run& run, const Suspect& suspect) {
  if (suspect.from && run.started_at < *suspect.from) return false;
  if (suspect.until && run.started_at > *suspect.until) return false;
  return std::ranges::any_of(run.instruments,
                             [&](const UsedInstrument& used) { return is_named(used, suspect.instrument); });
}

std::vector<Recalled> recalled(const Ledger& ledger, const Policy& policy, const Suspect& suspect) {
  std::vector<Recalled> all;
  for (const auto& [id, file] : ledger.files()) {
    if (!file.grade) continue;
    Recalled one{&file, {}, {}};
    for (const Run& run : file.runs)
      if (measured_by(run, suspect)) one.runs.push_back(run.id);
    if (one.runs.empty()) continue;
    const auto is_doubted = [&one](const auto& stated) {
      return std::ranges::find(one.runs, stated.run) != one.runs.end();
    };
    Evidence evidence = evidence_of(file, ledger, file.grade->at);
    std::erase_if(evidence.findings, is_doubted);
    std::erase_if(evidence.faults, is_doubted);
    one.without = judged_again(file, evidence, policy);
    all.push_back(std::move(one));
  }
  return all;
}

}  // namespace leadwright
