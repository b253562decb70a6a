// SPDX-License-Identifier: Apache-2.0
// A look at a battery that was taken in before, at the bench: what it adds may refuse or hold it. What makes
// it dangerous can't be taken back.
#include <algorithm>
#include <array>

#include "daemon/battery/acid.h"
#include "daemon/queue/acid_findings.h"
#include "daemon/queue/bench.h"
#include "daemon/queue/problem.h"
#include "daemon/queue/reception.h"
#include "daemon/store/drop_off.h"
#include "daemon/store/json.h"

namespace leadwright {

namespace {

constexpr std::array<std::pair<bool Inspection::*, const char*>, 4> dangers{
    {{&Inspection::cracked, "cracked"},
     {&Inspection::leaking, "leaking"},
     {&Inspection::swollen, "swollen"},
     {&Inspection::frozen, "frozen"}}};

Result<void> keeps_dangers(const Inspection& before, const Inspection& seen) {
  for (const auto& [sign, name] : dangers) {
    if (before.*sign && !(seen.*sign)) {
      return fail(Errc::refused, std::string("it was seen ") + name + ", and no role can take that back",
                  name, "leave it as it was seen; what is dangerous stays away from energy");
    }
  }
  return {};
}

}  // namespace

void Bench::refuse_or_hold(TicketFile& file, Batch& batch) {
  const Reception reception =
      reception_of(file.battery.nameplate, file.ticket.inspection, settings_.precautions.weight);
  const TicketState now = file.ticket.state;
  if (reception.state == TicketState::refused && now != TicketState::refused) {
    // A letter that was given before is no longer true.
    if (file.grade) grade_anew(file, batch);
    set_state(file, TicketState::refused, reception.reason);
  } else if (reception.state == TicketState::held && now != TicketState::refused) {
    set_state(file, TicketState::held, reception.reason);
  }
}

void Bench::ticket_inspect(const Request& request, Answer answer) {
  TicketFile* file = ledger_.find_shown(request.subject);
  if (file == nullptr) return answer(problem(no_ticket(request.subject)));
  Ticket& ticket = file->ticket;
  if (ticket.state == TicketState::closed || has_run_going_on(*file)) {
    return answer(problem({Errc::conflict, "the ticket is closed, or a run is going on", shown(ticket.id),
                           "if it is dangerous stop the run first"}));
  }
  Result<Inspection> seen = parse_inspection(request.body, ticket.inspection);
  if (!seen) return answer(problem(seen.error()));
  const bool looked_into_cells = seen->acid && seen->acid->at == Utc();
  if (looked_into_cells) {
    const Result<void> fits = fits_label(*seen->acid, file->battery.nameplate);
    if (!fits) return answer(problem(fits.error()));
    seen->acid->at = clocks_.bench.utc();
  }
  const Result<void> kept = keeps_dangers(ticket.inspection, *seen);
  if (!kept) return answer(problem(kept.error()));
  ticket.inspection = *seen;
  Batch batch;
  if (looked_into_cells) {
    note_acid(*file, settings_.estimator.acid, batch);
    // What it points to stands beside the letter, which it never changes.
    if (file->grade) grade_anew(*file, batch);
  }
  refuse_or_hold(*file, batch);
  batch.emplace_back(ticket);
  batch.emplace_back(audit(request.actor, "ticket.inspect", shown(ticket.id),
                           looks_unsafe(*seen) ? "dangerous to look at" : ""));
  std::vector<std::string> warnings = advice_on(*seen);
  if (auto differs = layout_warning(file->battery.nameplate, *seen); !differs.empty())
    warnings.push_back(std::move(differs));
  const Response response{200, received_json(ticket, warnings)};
  commit(std::move(batch), std::move(answer), response);
}

}  // namespace leadwright
