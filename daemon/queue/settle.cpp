// SPDX-License-Identifier: Apache-2.0
// What a ticket comes to when a run has ended: a grade, a further step, or a person.
#include "daemon/grading/grade.h"
#include "daemon/queue/bench.h"
#include "daemon/queue/overrule.h"
#include "daemon/settings/log.h"

namespace leadwright {

void Bench::grade_anew(TicketFile& file, Batch& batch) {
  Grade grade = leadwright::grade(evidence_of(file, ledger_, clocks_.bench.utc()), settings_.policy);
  grade.ticket = file.ticket.id;
  grade.at = clocks_.bench.utc();
  grade.software = settings_.software;
  log_event(
      Level::info, "ticket.graded",
      {{"ticket", shown(file.ticket.id)}, {"grade", std::string(1, grade.letter)}, {"reason", grade.reason}});
  batch.emplace_back(grade);
  file.grade = std::move(grade);
}

void Bench::settle_ticket(TicketFile& file, Batch& batch) {
  const Run& last = file.runs.back();
  Sentence ended = say("procedure_ended", "{procedure} ended: ", {said_words("procedure", last.procedure)});
  ended.add(last.end());
  const auto next = next_work(file, settings_.policy);
  if (ready_to_grade(file, settings_.policy)) {
    grade_anew(file, batch);
    set_state(file, TicketState::graded, reason_that_stands(file));
  } else if (next) {
    const Sentence exhausted = attempts_exhausted(file, next->procedure);
    set_state(file, exhausted.empty() ? TicketState::waiting : TicketState::held,
              exhausted.empty() ? ended : exhausted);
  } else {
    set_state(file, TicketState::waiting, ended);
  }
  batch.emplace_back(file.ticket);
}

}  // namespace leadwright
