// SPDX-License-Identifier: Apache-2.0
// May this new battery be fitted? Of a ticket, or of a label and a meter without any place.
#include "daemon/queue/bench.h"
#include "daemon/queue/problem.h"
#include "daemon/store/fitting_json.h"

namespace leadwright {

namespace {

FittingRules rules_of(const Policy& policy) {
  FittingRules rules;
  rules.soc_min = policy.soc_min_to_test;
  if (policy.oldest_months > 0) rules.oldest_months = policy.oldest_months;
  return rules;
}

void fill(std::string& told, const std::string& seen) {
  if (told.empty()) told = seen;
}

/// What the question leaves out is as the inspection found it.
void take_over_layout(const Inspection& seen, FittingQuestion& question) {
  fill(question.battery.plus_at, seen.plus_at);
  fill(question.battery.post, seen.post);
  fill(question.vehicle.nameplate.size_code, seen.vehicle_size_code);
  fill(question.vehicle.plus_at, seen.vehicle_plus_at);
  fill(question.vehicle.post, seen.vehicle_post);
}

}  // namespace

void Bench::fitting_check(const Request& request, const Answer& answer) {
  const Utc today = clocks_.bench.utc();
  auto read = parse_fitting(request.body, today);
  if (!read) return answer(problem(read.error()));
  FittingQuestion& question = read->question;
  if (!read->ticket.empty()) {
    const TicketFile* file = ledger_.find_shown(read->ticket);
    if (file == nullptr) return answer(problem(no_ticket(read->ticket)));
    question.battery.nameplate = file->battery.nameplate;
    take_over_layout(file->ticket.inspection, question);
    // What was measured before a draw or a charge says nothing about now.
    const Finding* soc = file->newest(Measurand::soc);
    if (soc != nullptr && is_rested(*file)) question.soc = *soc;
  }
  const FittingRules rules = rules_of(settings_.policy);
  const FittingAnswer told = fitting_answer(question, rules, today);
  const AfterAnswer after = after_answer(read->after, question.battery.nameplate, told);
  answer({200, fitting_json(told, after, rules)});
}

}  // namespace leadwright
