// SPDX-License-Identifier: Apache-2.0
// Who may let another letter stand than the bench's own, about what, and what stands then. Pure functions of
// a ticket's file. Thread: control, and whoever draws a certificate. Never: touches a finding, a fault or a
// rule. Read next: ../battery/grade_override.h, override_commands.cpp.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "daemon/battery/grade_override.h"
#include "daemon/battery/people.h"
#include "daemon/queue/ledger.h"
#include "protocol/result.h"

namespace leadwright {

/// The override that stands: the newest that was confirmed, if it is about the grade of now and gives another
/// letter. Null if the bench's own letter stands. A grade by other evidence ends it.
const GradeOverride* standing_override(const TicketFile& file);
/// The one that waits for a second person, about the grade of now; or null.
const GradeOverride* proposed_override(const TicketFile& file);

/// Of that number, of this ticket; null if there is none.
GradeOverride* override_numbered(TicketFile& file, int number);

/// Missing without a grade.
std::optional<char> letter_that_stands(const TicketFile& file);
/// One sentence for it; the grade's own where that stands. Empty without a grade.
Sentence reason_that_stands(const TicketFile& file);

/// Fails with refused where the bench refuses for safety, which no role can override; with conflict for a
/// ticket that is not graded, or where nothing would change; with bad_input for no letter of theirs.
Result<void> may_propose(const TicketFile& file, std::string_view letter);
/// The proposal that the person of this code may confirm as the letter that they read. Fails as may_propose;
/// with conflict where nothing waits, the letter is another one, or the person is the one who proposed it or
/// can't be told from that one any more.
Result<const GradeOverride*> may_confirm(const TicketFile& file, std::string_view letter,
                                         std::string_view person, const PersonBook& people);

/// Reasons are one line of at most GradeOverride::why_length_max bytes. Fails with bad_input.
Result<std::string> reason_of_override(std::string_view text);

}  // namespace leadwright
