// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/regrade.h"

#include "daemon/grading/grade.h"

namespace leadwright {

bool Regraded::changes() const {
  return now.letter != file->grade->letter || now.disposition != file->grade->disposition;
}

std::vector<Regraded> regraded(const Ledger& ledger, const Policy& policy) {
  std::vector<Regraded> all;
  for (const auto& [id, file] : ledger.files()) {
    if (!file.grade) continue;
    Grade now = grade(evidence_of(file, ledger, file.grade->at), policy);
    now.ticket = id;
    now.at = file.grade->at;
    all.push_back({&file, std::move(now)});
  }
  return all;
}

}  // namespace leadwright
