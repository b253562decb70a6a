// SPDX-License-Identifier: Apache-2.0
// The verbs of the service: another letter than the bench's own, proposed by one person and confirmed by a
// second one.
#include <fmt/format.h>

#include "daemon/queue/bench.h"
#include "daemon/queue/overrule.h"
#include "daemon/queue/problem.h"
#include "daemon/settings/log.h"
#include "daemon/store/json.h"

namespace leadwright {

void Bench::settle_override(GradeOverride& given, OverrideState state, const std::string& actor) const {
  given.state = state;
  given.settled_by = person_of(actor);
  given.settled_at = clocks_.bench.utc();
}

void Bench::ticket_override(const Request& request, Answer answer) {
  TicketFile* file = ledger_.find_shown(request.subject);
  if (file == nullptr) return answer(problem(no_ticket(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {"letter", "why"});
  if (!arguments) return answer(problem(arguments.error()));
  const std::string letter = arguments->text("letter").value_or("");
  const Result<void> allowed = may_propose(*file, letter);
  if (!allowed) return answer(problem(allowed.error()));
  Result<std::string> why = reason_of_override(arguments->text("why").value_or(""));
  if (!why) return answer(problem(why.error()));
  Batch batch;
  for (GradeOverride& earlier : file->overrides) {
    if (earlier.state != OverrideState::proposed) continue;
    settle_override(earlier, OverrideState::withdrawn, request.actor);
    batch.emplace_back(earlier);
  }
  GradeOverride proposed;
  proposed.ticket = file->ticket.id;
  proposed.number = static_cast<int>(file->overrides.size()) + 1;
  proposed.letter = letter.front();
  proposed.own_letter = file->grade->letter;
  proposed.own_reason = file->grade->reason;
  proposed.why = std::move(*why);
  const auto words = settings_.policy.dispositions.find(proposed.letter);
  if (words != settings_.policy.dispositions.end()) proposed.disposition = words->second;
  if (proposed.letter == proposed.own_letter) proposed.disposition = file->grade->disposition;
  proposed.proposed_by = person_of(request.actor);
  proposed.proposed_at = clocks_.bench.utc();
  batch.emplace_back(proposed);
  batch.emplace_back(
      audit(request.actor, request.verb, request.subject,
            fmt::format("{} to {}: {}", *letter_that_stands(*file), proposed.letter, proposed.why)));
  Response response{200, override_json(proposed, false, true)};
  file->overrides.push_back(std::move(proposed));
  commit(std::move(batch), std::move(answer), std::move(response));
}

void Bench::ticket_override_confirm(const Request& request, Answer answer) {
  TicketFile* file = ledger_.find_shown(request.subject);
  if (file == nullptr) return answer(problem(no_ticket(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {"letter"});
  if (!arguments) return answer(problem(arguments.error()));
  const std::string letter = arguments->text("letter").value_or("");
  const Result<const GradeOverride*> found = may_confirm(*file, letter, person_of(request.actor), people_);
  if (!found) return answer(problem(found.error()));
  const char before = *letter_that_stands(*file);
  GradeOverride& confirmed = *override_numbered(*file, (*found)->number);
  settle_override(confirmed, OverrideState::confirmed, request.actor);
  set_state(*file, TicketState::graded, reason_that_stands(*file));
  log_event(Level::info, "ticket.overridden",
            {{"ticket", request.subject}, {"from", std::string(1, before)}, {"to", letter}});
  Batch batch;
  batch.emplace_back(confirmed);
  batch.emplace_back(file->ticket);
  batch.emplace_back(audit(request.actor, request.verb, request.subject,
                           fmt::format("{} to {}: {}", before, letter, confirmed.why)));
  Response response{200, override_json(confirmed, standing_override(*file) == &confirmed, false)};
  commit(std::move(batch), std::move(answer), std::move(response));
}

void Bench::ticket_override_withdraw(const Request& request, Answer answer) {
  TicketFile* file = ledger_.find_shown(request.subject);
  if (file == nullptr) return answer(problem(no_ticket(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {"why"});
  if (!arguments) return answer(problem(arguments.error()));
  const Result<std::string> why = reason_of_override(arguments->text("why").value_or(""));
  if (!why) return answer(problem(why.error()));
  const GradeOverride* open = proposed_override(*file);
  if (open == nullptr) {
    return answer(problem({Errc::conflict, "no other letter is proposed here", request.subject, ""}));
  }
  GradeOverride& withdrawn = *override_numbered(*file, open->number);
  settle_override(withdrawn, OverrideState::withdrawn, request.actor);
  Batch batch;
  batch.emplace_back(withdrawn);
  batch.emplace_back(
      audit(request.actor, request.verb, request.subject, fmt::format("not {}: {}", withdrawn.letter, *why)));
  Response response{200, override_json(withdrawn, false, false)};
  commit(std::move(batch), std::move(answer), std::move(response));
}

}  // namespace leadwright
