// SPDX-License-Identifier: Apache-2.0
// Where the chain leaves a choice, what is known for it is taken from the ticket's file and weighed. Private
// to this folder; pure. Read next: triage.h.
#pragma once

#include <optional>
#include <string_view>

#include "daemon/battery/procedure_names.h"
#include "daemon/grading/policy.h"
#include "daemon/queue/ledger.h"
#include "daemon/queue/triage.h"

namespace leadwright {

constexpr bool puts_charge_in(std::string_view procedure) {
  return fills(procedure) || procedure == procedure_name::three_minute_charge;
}

/// Judged at the newest finding, so that the plan does not change with the time of day.
Evidence evidence_so_far(const TicketFile& file);

/// Both tests are wanted and allowed now: which comes first? Missing: as the chain has it.
std::optional<Choice> first_test_choice(const TicketFile& file, const Policy& policy);
/// Its resistance tells which test decides, so that it is wanted before anything is chosen: it costs minutes
/// of a bay where the battery stands anyway.
bool asks_resistance_first(const TicketFile& file, const Policy& policy);
/// A load test is allowed as it came: that, or a charge first? Missing likewise.
std::optional<Choice> start_choice(const TicketFile& file, const Policy& policy);
/// The intake check was just made, and its battery still stands there: does it rest there as well? Missing
/// likewise.
std::optional<Choice> rest_choice(const TicketFile& file, const Policy& policy);

/// To the letter, if this comes next; missing without prices, and where its letter is known.
std::optional<Way> way_from(const TicketFile& file, const Policy& policy, std::string_view next);

/// Since it was full nothing was drawn but load tests, up to 1.3 Ah each: what stands to see whether it keeps
/// its charge may stand so.
bool is_full_but_for_a_load_test(const TicketFile& file, const Policy& policy);

/// The minutes were measured before the load test, and leave a letter that a load test may still change.
bool load_follows_minutes(const TicketFile& file, const Policy& policy);

}  // namespace leadwright
