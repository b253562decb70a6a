// SPDX-License-Identifier: Apache-2.0
// When what was done did not do what it should: a charge that did not fill, attempts that came to nothing.
#include <algorithm>
#include <array>

#include "daemon/battery/half_cca.h"
#include "daemon/grading/full_charge.h"
#include "daemon/queue/planner.h"

namespace leadwright {

namespace {

/// The newest complete charge, or null.
const Run* last_charge(const TicketFile& file) {
  const auto last = std::find_if(file.runs.rbegin(), file.runs.rend(), is_completed_charge);
  return last == file.runs.rend() ? nullptr : &*last;
}

bool was_found_after_reseating(const TicketFile& file, Measurand measurand) {
  return std::ranges::any_of(file.findings, [measurand](const Finding& each) {
    return each.measurand == measurand && followed_reseating(each);
  });
}

}  // namespace

bool charged_after_reseating(const TicketFile& file) {
  return was_found_after_reseating(file, Measurand::returned);
}

bool loaded_after_reseating(const TicketFile& file) {
  return was_found_after_reseating(file, Measurand::load_margin);
}

void note_reseating(const TicketFile& file, std::vector<Finding>& findings) {
  if (!file.clamps_reseated) return;
  constexpr std::array marked{Measurand::load_volts, Measurand::load_margin, Measurand::load_margin_usual,
                              Measurand::returned};
  for (Finding& finding : findings) {
    if (std::ranges::find(marked, finding.measurand) != marked.end()) mark_reseated(finding);
  }
}

bool charge_in_doubt(const TicketFile& file, const Policy& policy) {
  const Run* charge = last_charge(file);
  if (charge == nullptr || charged_after_reseating(file)) return false;
  const Finding* soc = file.newest(Measurand::soc);
  return is_full(file.runs, policy.procedures) && is_rested(file) && soc != nullptr &&
         soc->run > charge->id && soc->value < policy.soc_min_to_test;
}

Sentence attempts_exhausted(const TicketFile& file, std::string_view procedure) {
  const Run* last = nullptr;
  int failed = 0;
  for (const Run& run : file.runs) {
    // Charged, it is not what failed before.
    if (is_completed_charge(run)) failed = 0;
    if (run.procedure != procedure || run.outcome == RunOutcome::complete ||
        run.outcome == RunOutcome::running)
      continue;
    ++failed;
    last = &run;
  }
  if (failed < attempts_max) return {};
  return say("attempts_exhausted", "{count} attempts at the {procedure} did not complete; the last one: ",
             {said_count("count", failed), said_words("procedure", std::string(procedure))})
      .add(last->end());
}

}  // namespace leadwright
