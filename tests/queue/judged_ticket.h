// SPDX-License-Identifier: Apache-2.0
// Tickets that were graded, for tests that grade them again.
#pragma once

#include <utility>

#include "daemon/battery/procedure_names.h"
#include "daemon/queue/ledger.h"

namespace leadwright {

/// A graded ticket of a battery of its own, rated 100 min; charged in run 0. Findings and further runs are
/// the caller's.
inline TicketFile& add_judged_ticket(Ledger& ledger, char letter) {
  Battery battery;
  battery.id = ledger.next_battery();
  battery.serial = shown(battery.id);
  battery.nameplate.chemistry = Chemistry::flooded;
  battery.nameplate.cells = 6;
  battery.nameplate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::en};
  Ticket ticket;
  ticket.id = ledger.next_ticket();
  ticket.battery = battery.id;
  TicketFile& file = ledger.add(std::move(battery), std::move(ticket));
  Run charge;
  charge.procedure = procedure_name::charge;
  charge.outcome = RunOutcome::complete;
  file.runs.push_back(std::move(charge));
  file.grade.emplace().letter = letter;
  return file;
}

/// u 1 min.
inline Finding minutes_found(double value, RunId run = RunId{1}) {
  Finding found;
  found.measurand = Measurand::reserve_capacity_ref;
  found.run = run;
  found.value = value;
  found.u = 1.0;
  return found;
}

}  // namespace leadwright
