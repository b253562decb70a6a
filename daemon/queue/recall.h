// SPDX-License-Identifier: Apache-2.0
// Which grades rest on an instrument that was later found out of tolerance. Pure; changes nothing.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "daemon/grading/policy.h"
#include "daemon/queue/ledger.h"

namespace leadwright {

/// One instrument over the time in which it can't be trusted.
struct Suspect {
  std::string instrument;        ///< name of its wiring, its serial number, or maker, model and serial number
  std::optional<Utc> from = {};  ///< the last time it was found right; missing: since ever
  std::optional<Utc> until = {};  ///< when it was taken out of use; missing: until now
};

struct Recalled {
  const TicketFile* file = nullptr;  ///< has a grade; owned by the ledger
  std::vector<RunId> runs;           ///< in which the instrument measured
  Grade without;                     ///< by what is left when those runs are not believed
};

/// True if the run began in that time and the instrument took part.
bool measured_by(const Run& run, const Suspect& suspect);

/// Every graded ticket with such a run, in order of number, judged at the moment of its stored grade.
std::vector<Recalled> recalled(const Ledger& ledger, const Policy& policy, const Suspect& suspect);

}  // namespace leadwright
