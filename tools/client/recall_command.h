// SPDX-License-Identifier: Apache-2.0
// `leadwright instrument recall`: which grades rest on an instrument that was found out of tolerance. Reads
// the daemon's database beside it, read-only, and changes nothing; needs no daemon.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

struct RecallOptions {
  std::string instrument;
  std::string policy;
  std::string from;   ///< day or moment; empty: since ever
  std::string until;  ///< empty: until now
};

/// Prints each graded ticket that it measured, with the runs, the grade as given and the grade by what is
/// left. Exit code negative if there is one.
ExitCode instrument_recall(const ClientOptions& client, const RecallOptions& options);

constexpr const char* instrument_recall_help =
    R"(A run records its instruments by wiring name, maker, model and serial number. The runs are not
believed any more: what the other runs of the ticket found is graded again, mostly to U, with what would
decide it. Nothing is changed; tell the people concerned and test again.
Examples:
  leadwright instrument recall 4711 --from 2026-03-01 --policy config/policies/store_claim.toml
  leadwright instrument recall bay-1.load --from 2026-03-01 --until 2026-05-20 --policy my.toml --json
Exit codes: 0 no grade rests on it; 1 at least one does; 65 the policy or a date is wrong, or the database is
  of another version; 74 it can't be read.)";

}  // namespace leadwright
