// SPDX-License-Identifier: Apache-2.0
// What a ticket needs next: the chain intake → charge → rest → tests → grade → recharge as a pure function of
// its file. Most returned batteries are only discharged, so nothing is tested before it is charged and
// rested. A load test asks for a state of charge and comes first, a capacity test for a completed charge with
// nothing drawn since; a load test that decides the letter leaves no capacity test to be made. What would be
// kept in service may stand on a shelf for some days before the grade, to see whether it keeps its charge.
// Where validity leaves a choice (the load test or the minutes first, at once or after a charge, at which
// place it rests), the policy's figures are weighed (triage.h).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/battery/procedure_names.h"
#include "daemon/grading/policy.h"
#include "daemon/place/run.h"
#include "daemon/queue/ledger.h"
#include "daemon/queue/triage.h"
#include "daemon/settings/settings.h"

namespace leadwright {

struct Work {
  std::string procedure;
  PlaceKind place_kind = PlaceKind::bay;
  std::optional<Utc> not_before = {};  ///< it stands alone until then, best on a shelf
  std::optional<Choice> choice = {};   ///< where it was weighed against another
};

/// Attempts at one procedure that may fail before a person must look.
inline constexpr int attempts_max = 3;

/// The next procedure, or nothing: the ticket is done, or a person must decide.
std::optional<Work> next_work(const TicketFile& file, const Policy& policy);
/// True when the evidence is as complete as the chain makes it: time to grade.
bool ready_to_grade(const TicketFile& file, const Policy& policy);
/// The letter would fall on a load test that failed, or lies within its guard band, in clamps which nobody
/// has set anew: it is made once more; charged before, if it failed by little and was not full, and after a
/// person has set them anew. Not where it would fail without that load test as well.
bool clamps_to_rule_out(const TicketFile& file, const Policy& policy);
/// A charge was completed and it rests at less than a test asks for. Through a bad clamp a charge ends early:
/// both are set anew and it is charged once more, before that counts against the battery.
bool charge_in_doubt(const TicketFile& file, const Policy& policy);
/// A charge of this visit was completed after a person had set both clamps anew for it.
bool charged_after_reseating(const TicketFile& file);
/// The same of a load test.
bool loaded_after_reseating(const TicketFile& file);
/// What tells them so: marks the findings of a load test and of a charge, if the clamps were set anew for it.
void note_reseating(const TicketFile& file, std::vector<Finding>& findings);
/// Why no further attempt is made since the last charge; empty if attempts are left.
Sentence attempts_exhausted(const TicketFile& file, std::string_view procedure);
/// Why a procedure named by a person must wait, one sentence; empty if it need not. A capacity test of a
/// battery that is not fully charged and rested would be graded as if it were worn; nothing that charges
/// before the intake check.
std::string out_of_turn(const TicketFile& file, const Policy& policy, std::string_view procedure);
/// A procedure that ends with an empty battery, or has emptied it on its way.
bool takes_all(std::string_view procedure);
/// The state that a ticket is in while a procedure runs.
TicketState state_during(std::string_view procedure);
/// True if a place of this kind can do work meant for `wanted`.
bool place_serves(PlaceKind kind, PlaceKind wanted);
/// Resting volts to expect at the next clamp-on; nothing if no meter saw the battery at rest before.
std::optional<ExpectedVolts> expected_volts(const TicketFile& file);
/// A stability rest ended and nothing was energised since.
bool is_rested(const TicketFile& file);

}  // namespace leadwright
