// SPDX-License-Identifier: Apache-2.0
// What becomes of the runs that the daemon before this one did not end.
#include <algorithm>
#include <utility>

#include "daemon/queue/bench.h"
#include "daemon/queue/calibration.h"
#include "daemon/settings/log.h"

namespace leadwright {

void Bench::void_run(TicketFile& file, Run& run, const Sentence& reason, Batch& batch) {
  run.outcome = RunOutcome::void_;
  run.ended_at = clocks_.bench.utc();
  run.end_with(reason);
  if (may_have_emptied(file, run)) file.ticket.needs_recharge = true;
  batch.emplace_back(run);
  batch.emplace_back(audit("leadwrightd", "run.void", shown(run.id), run.end_reason));
  log_event(Level::warning, "run.void",
            {{"run", shown(run.id)}, {"ticket", shown(file.ticket.id)}, {"reason", reason.text()}});
  // The end of its run may be what the store lost.
  if (file.ticket.state == TicketState::closed) return;
  set_state(file, TicketState::waiting,
            say("run_is_void", "{run} of the {procedure} is void: ",
                {said_words("run", shown(run.id)), said_words("procedure", run.procedure)})
                .add(run.end()));
  batch.emplace_back(file.ticket);
}

bool Bench::may_have_emptied(const TicketFile& file, const Run& run) {
  const Procedure* wanted = procedure(run.procedure);
  const Place* at = place(run.place);
  if (wanted == nullptr || at == nullptr) return true;
  Values values = values_of(*wanted, file, *at, {});
  const auto drawn_max = [&values](const Step& step) -> std::optional<Coulomb> {
    values.enter(step.frame);
    const auto amps = step.amps ? step.amps->evaluate(values) : std::nullopt;
    const auto time = step.at_most ? step.at_most->evaluate(values) : std::nullopt;
    if (!amps || !time) return std::nullopt;
    return Ampere(*amps) * Second(*time);
  };
  const Coulomb allowed = drawn_allowed(file.battery.nameplate);
  return std::ranges::any_of(wanted->steps, [&](const Step& step) {
    return step.kind == StepKind::draw && drawn_max(step).value_or(allowed * 2.0) > allowed;
  });
}

bool Bench::may_lack_charge(const TicketFile& file) {
  bool may_lack = false;
  for (const Run& run : file.runs) {
    if (run.outcome == RunOutcome::complete && fills(run.procedure)) {
      may_lack = false;
    } else if (run.outcome != RunOutcome::running && may_have_emptied(file, run)) {
      may_lack = true;
    }
  }
  return may_lack;
}

void Bench::take_interrupted(std::vector<StoredJournal> journals, Batch& batch) {
  const Now now{clocks_.bench.utc(), clocks_.bench.now()};
  for (auto& [id, file] : ledger_.files()) {
    for (Run& run : file.runs) {
      if (run.outcome != RunOutcome::running) continue;
      const RunId wanted = run.id;
      const auto found = std::ranges::find_if(
          journals, [wanted](const StoredJournal& each) { return each.journal.run == wanted; });
      const StoredJournal* stored = found == journals.end() ? nullptr : &*found;
      Sentence reason = why_void(run, procedure(run.procedure), stored, now);
      Place* const at = place(run.place);
      if (at != nullptr) at->instruments().doubt_off();
      // The end of an earlier run may be what the store lost.
      const bool is_newest = run.id == file.runs.back().id;
      if (reason.empty() && (!is_newest || at == nullptr || is_interrupted(run.place) ||
                             file.ticket.state == TicketState::closed)) {
        reason = say("something_came_after",
                     "the daemon stopped during this run, and something else came after it");
      }
      if (reason.empty()) reason = why_lost(*at, *stored, file, *time_since(stored->journal, now));
      if (!reason.empty()) {
        void_run(file, run, reason, batch);
        continue;
      }
      set_state(
          file, state_during(run.procedure),
          say("was_interrupted",
              "{procedure} at {place} was interrupted and goes on once everything there is off and ready",
              {said_words("procedure", run.procedure), said_words("place", run.place)}));
      batch.emplace_back(file.ticket);
      interrupted_.insert_or_assign(run.place, std::move(*found));
    }
  }
}

Sentence Bench::why_lost(const Place& at, const StoredJournal& stored, const TicketFile& file,
                         Second gap) const {
  if (file.ticket.place != at.name()) return not_gone_on(say("battery_moved", "its battery was moved"));
  if (!file.faults.empty()) {
    const Fault& fault = file.faults.back();
    return not_gone_on(say("fault_proven", "a fault is proven: ").add({fault.evidence, fault.said}));
  }
  if (!at.trip().empty()) {
    return not_gone_on(say("place_tripped", "the place is tripped: ").add(at.trip_said()));
  }
  if (at.is_out_of_service()) return not_gone_on(say("place_out_of_service", "the place is out of service"));
  if (gap > nobody_exchanges_within && twins_.contains(at.name())) {
    return not_gone_on(
        say("twins_exchanged",
            "nobody could see it if its instruments were exchanged for others of their kind meanwhile"));
  }
  if (at.activity() != Activity::ready && at.activity() != Activity::asking) return {};
  if (at.instruments().identities() != stored.journal.instruments)
    return not_gone_on(say("other_instruments", "its instruments are others than before"));
  return {};
}

void Bench::look_at_interrupted() {
  Batch batch;
  const Now now{clocks_.bench.utc(), clocks_.bench.now()};
  std::vector<std::string> names;
  for (const auto& [name, stored] : interrupted_) names.push_back(name);
  for (const std::string& name : names) {
    const StoredJournal& stored = interrupted_.find(name)->second;
    Place& at = *place(name);
    TicketFile& file = *ticket_of(stored.journal.run);
    Run& run = *std::ranges::find(file.runs, stored.journal.run, &Run::id);
    const Procedure* wanted = procedure(run.procedure);
    Sentence reason = why_void(run, wanted, &stored, now);
    const Second gap = time_since(stored.journal, now).value_or(Second(0.0));
    if (reason.empty()) reason = why_lost(at, stored, file, gap);
    const bool is_ready = at.activity() == Activity::ready || at.activity() == Activity::asking;
    if (reason.empty() && (!is_ready || alarm())) continue;
    const StoredJournal taken = std::move(interrupted_.extract(name).mapped());
    if (!reason.empty()) {
      void_run(file, run, reason, batch);
      continue;
    }
    resume_run(at, taken, file, gap);
  }
  if (!batch.empty()) commit(std::move(batch), {}, {});
  if (interrupted_.empty()) return;
  interrupted_look_.set(clocks_.machine.now() + interrupted_look_period, [this] { look_at_interrupted(); });
}

void Bench::resume_run(Place& at, const StoredJournal& stored, TicketFile& file, Second gap) {
  const RunJournal& journal = stored.journal;
  const auto kept = std::ranges::find(file.runs, journal.run, &Run::id);
  const Procedure& wanted = *procedure(kept->procedure);
  RunOrder order = order_for(file, at, wanted, journal.parameters);
  order.run = *kept;
  order.widen_meters_by = meters_widened_by(order.run.instruments, settings_.policy.calibration);
  order.expected = expected_after(journal, wanted.steps[journal.step].kind, file.battery.nameplate);
  order.started_by = journal.started_by;
  order.from = std::make_shared<const Interruption>(
      Interruption{journal, stored.samples, gap, clocks_.bench.now(), may_be_another(*order.expected, gap)});
  Batch batch;
  Result<void> resumed = has_air(file, order.air);
  if (resumed) resumed = at.start(std::move(order));
  if (!resumed) {
    void_run(file, *kept, not_gone_on(in_own_words(resumed.error().line())), batch);
    commit(std::move(batch), {}, {});
    return;
  }
  started_by_[at.name()] = journal.started_by;
  set_state(file, state_during(wanted.name),
            say("goes_on_after", "{procedure} at {place} after an interruption of {gap}",
                {said_words("procedure", wanted.name), said_words("place", at.name()),
                 said_amount("gap", gap.si(), 0, "s")}));
  batch.emplace_back(file.ticket);
  log_event(Level::warning, "run.resumed",
            {{"run", shown(journal.run)}, {"ticket", shown(file.ticket.id)}, {"place", at.name()}});
  // While it goes on its place has it, as with every run.
  file.runs.erase(kept);
  commit(std::move(batch), {}, {});
}

bool Bench::give_up_interrupted(const Place& at, const Sentence& reason, Batch& batch) {
  const auto found = interrupted_.find(at.name());
  if (found == interrupted_.end()) return false;
  const RunId id = found->second.journal.run;
  TicketFile& file = *ticket_of(id);
  interrupted_.erase(found);
  void_run(file, *std::ranges::find(file.runs, id, &Run::id), not_gone_on(reason), batch);
  return true;
}

}  // namespace leadwright
