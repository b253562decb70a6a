// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/bench.h"

#include <fmt/format.h>

#include <algorithm>

#include "daemon/grading/grade.h"
#include "daemon/place/label_values.h"
#include "daemon/queue/acid_findings.h"
#include "daemon/queue/overrule.h"
#include "daemon/queue/problem.h"
#include "daemon/settings/log.h"

namespace leadwright {

namespace {
constexpr double share_drawn_max = 0.25;

/// A charge that ended because the battery was full; not one that found a fault or ran into its time limit.
bool finished_charge(const RunResult& result) {
  const std::string& by = result.run.procedure;
  const bool charges =
      by == procedure_name::charge || by == procedure_name::recharge || by == procedure_name::recovery;
  if (!charges || result.run.outcome != RunOutcome::complete || !result.faults.empty()) return false;
  return std::ranges::none_of(result.trace.steps, [](const Trace::StepSpan& span) {
    return span.name == "charge" && span.end == "time";
  });
}

bool is_at_work(TicketState state) {
  return state == TicketState::charging || state == TicketState::resting || state == TicketState::testing ||
         state == TicketState::recharging;
}
}  // namespace

Bench::Bench(BenchSettings settings, Clocks clocks, Store& store)
    : settings_(std::move(settings)),
      clocks_(clocks),
      store_(store),
      unsaved_(ledger_, clocks.machine, store),
      interrupted_look_(clocks.machine),
      housekeeping_(clocks.machine),
      alarm_calls_(clocks.machine, settings_.alarm),
      alarm_look_(clocks.machine) {
  unsaved_.trip_of = [this](const std::string& name) {
    const Place* found = place(name);
    return found != nullptr ? found->trip() : std::string();
  };
  unsaved_.on_saved = [this] {
    store_problem_.clear();
    kept_answers_.all_durable();
    if (unsaved_.rows_lost() == 0) return;
    Batch batch;
    batch.emplace_back(audit("leadwrightd", "audit.lost", settings_.name,
                             fmt::format("{} more acts were carried out while the store failed, and are not "
                                         "written down one by one",
                                         unsaved_.rows_lost())));
    commit(std::move(batch), {}, {});
  };
}

Place* Bench::place(std::string_view name) {
  const auto found =
      std::ranges::find_if(places_, [name](const auto& place) { return place->name() == name; });
  return found == places_.end() ? nullptr : found->get();
}

const Procedure* Bench::procedure(std::string_view name) const {
  const auto found = std::ranges::find_if(settings_.procedures,
                                          [name](const Procedure& other) { return other.name == name; });
  return found == settings_.procedures.end() ? nullptr : &*found;
}

TicketFile* Bench::ticket_at(const Place& place) {
  return place.kind() == PlaceKind::shelf ? nullptr : ledger_.at_place(place.name());
}

bool Bench::has_run_going_on(const TicketFile& file) {
  const Place* at = place(file.ticket.place);
  return at != nullptr && (at->run() != nullptr || is_interrupted(at->name())) && ticket_at(*at) == &file;
}

TicketFile* Bench::ticket_of(RunId run) {
  for (auto& [id, file] : ledger_.files()) {
    if (std::ranges::find(file.runs, run, &Run::id) != file.runs.end()) return &file;
  }
  return nullptr;
}

void Bench::begin(StoredBench stored) {
  for (const PlaceRecord& record : stored.places) {
    if (Place* found = place(record.name)) found->restore(record);
  }
  std::vector<StoredJournal> journals = std::move(stored.journals);
  kept_answers_.load(std::move(stored.answers));
  people_.load(stored.people);
  ledger_.load(std::move(stored));
  Batch batch;
  find_twins();
  take_interrupted(std::move(journals), batch);
  // Of what happened before this start only the date is known; one in the future means a full wait.
  const auto charged_at = [this](Utc when) {
    return std::optional(clocks_.bench.now() - std::max(Second(0.0), clocks_.bench.utc() - when));
  };
  for (auto& [id, file] : ledger_.files()) {
    Ticket& ticket = file.ticket;
    if (ticket.state != TicketState::closed && !ticket.needs_recharge && may_lack_charge(file)) {
      ticket.needs_recharge = true;
      batch.emplace_back(ticket);
    }
    const Run* last_charge = nullptr;
    for (const Run& run : file.runs) {
      // Whether it came as far as its charge is no longer known, nor what an old procedure did.
      const Procedure* done = procedure(run.procedure);
      const bool goes_on = run.outcome == RunOutcome::running;
      if ((!goes_on && !run.ended_at) || (done != nullptr && !charges(*done))) continue;
      // What waits to go on may have been charging until this start.
      file.charged_at = std::max(file.charged_at, charged_at(goes_on ? clocks_.bench.utc() : *run.ended_at));
      last_charge = &run;
    }
    if (last_charge != nullptr) doubt_off_after(*last_charge, ticket);
    // Runs of the visit before are not read again; its last charge was over when this visit began.
    if (file.ticket.previous)
      file.charged_at = std::max(file.charged_at, charged_at(file.ticket.received_at));
    if (!is_at_work(file.ticket.state) || is_interrupted(file.ticket.place)) continue;
    set_state(file, TicketState::waiting,
              say("stopped_before_run", "the daemon stopped before the run began"));
    batch.emplace_back(file.ticket);
  }
  if (!batch.empty()) commit(std::move(batch), {}, {});
  for (const auto& each : boxes_) each->open();
  for (const auto& each : shared_) each->open();
  for (const auto& each : places_) each->open();
  keep_house();
  if (!interrupted_.empty()) look_at_interrupted();
}

void Bench::doubt_off_after(const Run& charge, const Ticket& ticket) {
  const bool still_stands = ticket.state != TicketState::closed && ticket.place == charge.place;
  Place* const at = still_stands ? place(charge.place) : nullptr;
  if (at != nullptr && charge.outcome == RunOutcome::tripped) at->instruments().doubt_off();
}

void Bench::keep_house() {
  Batch batch;
  for (auto& [id, file] : ledger_.files()) {
    Ticket& ticket = file.ticket;
    if (ticket.state != TicketState::held || !ticket.held_until || *ticket.held_until > clocks_.bench.utc())
      continue;
    take_up_again(file, say("held_long_enough", "the day until which it was held has come"));
    batch.emplace_back(ticket);
    batch.emplace_back(audit("leadwrightd", "ticket.recheck", shown(id), ticket.state_reason));
  }
  if (!batch.empty()) commit(std::move(batch), {}, {});
  housekeeping_.set(clocks_.machine.now() + housekeeping_period, [this] { keep_house(); });
}

AuditEntry Bench::audit(const std::string& actor, const std::string& what, const std::string& subject,
                        const std::string& why) const {
  return {clocks_.bench.utc(), actor, what, subject, why};
}

void Bench::commit(Batch batch, Answer answer, Response response) {
  const std::vector<Person> people = people_.unstored();
  batch.insert(batch.begin(), people.begin(), people.end());
  // The batch again, since the store takes its own apart.
  auto again = std::make_shared<Batch>(batch);
  store_.write(std::move(batch), [this, again = std::move(again), people, answer = std::move(answer),
                                  response = std::move(response)](const Result<void>& written) {
    if (written) people_.stored(people);
    if (!written) {
      store_problem_ = written.error().line();
      log_event(Level::error, "store.failed", {{"what", store_problem_}});
      unsaved_.add(std::move(*again));
    } else if (unsaved_.empty()) {
      store_problem_.clear();
    }
    if (answer) answer(written ? response : problem(written.error()));
  });
}

void Bench::set_state(TicketFile& file, TicketState state, const Sentence& reason) {
  file.ticket.state = state;
  file.ticket.state_reason = reason.text();
  file.ticket.state_said = reason.phrases();
  file.ticket.state_since = clocks_.bench.utc();
  log_event(Level::info, "ticket.state",
            {{"ticket", shown(file.ticket.id)}, {"state", word(state)}, {"reason", reason.text()}});
}

void Bench::place_changed(Place& place) {
  log_event(Level::info, "place.state",
            {{"place", place.name()}, {"activity", word(place.activity())}, {"problem", place.problem()}});
}

Coulomb Bench::drawn_allowed(const Nameplate& nameplate) {
  return assumed_capacity(nameplate) * share_drawn_max;
}

void Bench::take_results(TicketFile& file, const RunResult& result, Batch& batch) {
  file.runs.push_back(result.run);
  batch.emplace_back(result.run);
  for (const Finding& finding : result.findings) {
    file.findings.push_back(finding);
    batch.emplace_back(finding);
  }
  compare_acid(file, settings_.estimator.acid, batch);
  for (const Fault& fault : result.faults) {
    file.faults.push_back(fault);
    batch.emplace_back(fault);
  }
  if (result.last_volts) file.last_volts = result.last_volts;
  // The answer was about what was clamped on then; the next run compares anew.
  file.same_battery_at.reset();
  file.polarity_confirmed = file.shield_confirmed = false;
  if (!only_looks(result.run.procedure)) {
    file.clamps_reseated = false;
    file.has_collapsed = result.collapse.has_value();
  }
  if (result.charged_at) file.charged_at = result.charged_at;
  file.drawn = std::max(Coulomb(0.0), file.drawn + result.moved);
  if (file.drawn > drawn_allowed(file.battery.nameplate)) file.ticket.needs_recharge = true;
  // What was drawn after a trip, until off was true, nobody measured.
  if (!result.trip.empty() && result.moved > Coulomb(0.0)) file.ticket.needs_recharge = true;
  if (finished_charge(result)) {
    file.drawn = Coulomb(0.0);
    file.ticket.needs_recharge = false;
  }
}

void Bench::take_up_again(TicketFile& file, const Sentence& reason) {
  file.ticket.held_until.reset();
  if (file.grade) {
    set_state(file, TicketState::graded, reason_that_stands(file));
  } else {
    set_state(file, TicketState::waiting, reason);
  }
}

void Bench::run_ended(Place& place, RunResult result) {
  TicketFile* file = ledger_.find(result.run.ticket);
  if (file == nullptr) return;
  const bool complete = result.run.outcome == RunOutcome::complete;
  log_event(Level::info, "run.ended",
            {{"run", shown(result.run.id)},
             {"place", place.name()},
             {"outcome", word(result.run.outcome)},
             {"reason", result.run.end_reason}});
  if (result.last_volts.value_or(Volt(0.0)) > polarity_min) file->too_flat = false;
  judge_collapse(*file, result);
  note_reseating(*file, result.findings);
  Batch batch;
  if (!result.trip.empty()) {
    batch.emplace_back(PlaceRecord{place.name(), false, result.trip.text(), result.trip.phrases()});
    batch.emplace_back(audit("leadwrightd", "place.trip", place.name(), result.trip.text()));
  }
  if (result.run.outcome == RunOutcome::void_)
    batch.emplace_back(audit("leadwrightd", "run.void", shown(result.run.id), result.run.end_reason));
  if (result.began || !result.faults.empty()) {
    take_results(*file, result, batch);
    ask_for_clamps(*file, result);
    settle_ticket(*file, batch);
  } else {
    set_state(*file, TicketState::waiting, result.run.end());
    batch.emplace_back(file->ticket);
    batch.emplace_back(audit("leadwrightd", "run.refused", shown(file->ticket.id), result.run.end_reason));
  }
  place.set_ask(result.ask);
  commit(std::move(batch), {}, {});
  if (on_run_ended) on_run_ended(place, result);
  traces_[place.name()] = {result.run.id, std::move(result.trace)};
  if (complete) go_on(*file, place);
}

}  // namespace leadwright
