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

/// A battery is not unclamped and another one clamped on faster (common practice, no source).
constexpr Second nobody_exchanges_within{60.0};

/// Since the journal was written. Missing where the calendar and the clock don't agree: the machine was
/// started anew, perhaps without a calendar of its own, or its date was set. No time is known then.
std::optional<Second> time_since(const RunJournal& journal, const Now& now);

/// Why this run is void, one sentence; empty if it may go on once its place is ready. `procedure`: the one of
/// that name that is known now, or null. `journal`: of the run, or null.
Sentence why_void(const Run& run, const Procedure* procedure, const StoredJournal* stored, const Now& now);

/// Volts that the battery of an interrupted run, which why_void lets go on, must show before it does.
ExpectedVolts expected_after(const RunJournal& journal, StepKind kind, const Nameplate& nameplate);

/// Those limits tell nothing, and there was time to exchange it: a person must look.
bool may_be_another(const ExpectedVolts& expected, Second gap);

}  // namespace leadwright
