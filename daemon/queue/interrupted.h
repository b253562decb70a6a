// SPDX-License-Identifier: Apache-2.0
// Runs that the daemon before this one did not end: whether each may go on, by its procedure's rule and by
// what is known of it. Pure; any thread. The bench asks (bench_interrupted.cpp).
#pragma once

#include <optional>
#include <string>

#include "daemon/place/run.h"

namespace leadwright {

struct Now {
  Utc utc;        ///< of the bench
  Instant bench;  ///< its clock, which may have begun anew with the machine
};

/// Since the journal was written: by the calendar or by the clock, whichever says more. A calendar that was
/// set back is caught by the clock, and one set forward makes the run void. Missing if the calendar says that
/// the journal lies ahead: no time is known then.
std::optional<Second> time_since(const RunJournal& journal, const Now& now);

/// Why this run is void, one sentence; empty if it may go on once its place is ready. `procedure`: the one of
/// that name that is known now, or null. `journal`: of the run, or null.
std::string why_void(const Run& run, const Procedure* procedure, const StoredJournal* stored, const Now& now);

/// Volts that the battery of an interrupted run must show before it goes on.
std::optional<ExpectedVolts> expected_after(const RunJournal& journal, StepKind kind,
                                            const Nameplate& nameplate);

}  // namespace leadwright
