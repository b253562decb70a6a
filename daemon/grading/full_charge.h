// SPDX-License-Identifier: Apache-2.0
// Whether a battery was full, by what was done with it. F: a rating of capacity is that of a fully charged
// battery (glossaries after SAE J537), and a resting voltage tells the state of charge to 5 % at best: so the
// runs count here, not the voltage. Pure; any thread.
#pragma once

#include <span>

#include "daemon/battery/ticket.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// A capacity test that was stopped within two minutes of its start, the first of which is a rest: as shipped
/// less than half an ampere-hour at 25 A, a hundredth of the minutes; of whatever file less than 0.9 Ah,
/// still within the battery's own repeatability. So a test that its clamps ended may begin anew at once.
bool hardly_drew(const Run& run);

/// By one of the shipped procedures that end with a full battery.
bool is_completed_charge(const Run& run);

/// A charge was completed (the shipped ones, or the charge or the cycle that the policy names), and since
/// then there were only rests, resistance measurements and intake checks, which take less than 0.2 Ah each,
/// capacity tests that hardly drew, or more charging. Anything else undoes it, complete or not: a load test
/// takes up to 1.3 Ah. Runs in order of start.
bool is_full(std::span<const Run> runs, const PolicyProcedures& named);

/// The same of the moment at which the run that stated `test` began. Evidence that knows of no charge shows
/// none.
bool began_full(const Evidence& evidence, const Finding& test, const PolicyProcedures& named);

}  // namespace leadwright
