// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/regrade.h"

#include "daemon/grading/grade.h"

namespace leadwright {

bool Regraded::changes() const {
  return now.letter != file->grade->letter || now.disposition != file->grade->disposition;
}

Grade judged_again(const TicketFile& file, const Evidence& evidence, const Policy& policy) {
  Grade now = grade(evidence, policy);
  now.ticket = file.ticket.id;
  now.at = file.grade->at;
  return now;
}

std::vector<Regraded> regraded(const Ledger& ledger, const Policy& policy) {
  std::vector<Regraded> all;
  for (const auto& [id, file] : ledger.files()) {
    if (!file.grade) continue;
    all.push_back({&file, judged_again(file, evidence_of(file, ledger, file.grade->at), policy)});
  }
  return all;
}

}  // namespace leadwright
