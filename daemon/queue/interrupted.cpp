// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/interrupted.h"

#include <algorithm>

#include "daemon/place/label_values.h"

namespace leadwright {

namespace {

/// Of a rest: surface charge decays, so it is wide below (common practice, no source).
constexpr Volt rest_below{0.3};
constexpr Volt rest_above{0.15};
/// A cell from empty to full rises by so much at rest (shared domain notes, section 5: F, 0.96 V for six).
/// Half of it is sure: what goes in is not all kept, and a label's capacity may be far off (common practice,
/// no source).
constexpr Volt cell_rise{0.16};
constexpr double sure_share = 0.5;
/// Above what the charge had lifted it to, or below what it rested at (common practice, no source).
constexpr Volt charge_apart{0.12};

/// Where no sample of the charge is in the journal: by so much it may have lifted a cell since (common
/// practice, no source).
constexpr Volt cell_lift{0.25};

/// Limits wider than this hold for nearly every battery of so many cells (common practice, no source).
constexpr Volt tells_apart{0.6};
/// Longer than a calendar and a clock that both ran on may differ, within the longest interruption.
constexpr Second clocks_apart{2.0};

/// The journal belongs to this procedure and to the samples that the store has.
bool fits(const StoredJournal& stored, const Procedure& procedure) {
  const RunJournal& journal = stored.journal;
  if (journal.step >= procedure.steps.size() || journal.backs.size() != procedure.steps.size()) return false;
  if (journal.own.size() > procedure.frames.size() || journal.samples != stored.samples.size()) return false;
  if (journal.spans.empty()) return false;
  std::size_t from = 0;
  for (const Trace::StepSpan& span : journal.spans) {
    if (span.first < from || span.last < span.first || span.last > stored.samples.size()) return false;
    from = span.last;
  }
  const auto of_last = static_cast<std::size_t>(journal.spans.back().step);
  return of_last == journal.step && lasts(procedure.steps[journal.step].kind);
}

}  // namespace

std::optional<Second> time_since(const RunJournal& journal, const Now& now) {
  const Second by_calendar = now.utc - journal.at;
  const Second by_clock = now.bench - journal.bench_at;
  const Second apart = std::max(by_calendar, by_clock) - std::min(by_calendar, by_clock);
  if (by_calendar < Second(0.0) || apart > clocks_apart) return std::nullopt;
  return std::max(by_calendar, by_clock);
}

Sentence why_void(const Run& run, const Procedure* procedure, const StoredJournal* stored, const Now& now) {
  Sentence stopped =
      say("stopped_during", "the daemon stopped during this run; its samples stay as evidence");
  if (procedure == nullptr) return stopped.say("procedure_gone", ", and its procedure is no longer there");
  if (procedure->hash != run.procedure_hash)
    return stopped.say("procedure_changed", ", and its procedure was changed");
  if (!procedure->resumes || stored == nullptr) return stopped;
  const RunJournal& journal = stored->journal;
  if (!fits(*stored, *procedure))
    return stopped.say("journal_unfit", ", and its journal does not fit to them");
  if (draws(procedure->steps[journal.step].kind)) return stopped;
  if (!journal.faults.empty()) return stopped.say("had_found_fault", ", and it had found a fault");
  if (!journal.volts && !journal.rested)
    return stopped.say("volts_unknown", ", and nothing is known of the voltage of its battery");
  if (journal.interruptions >= interruptions_max)
    return stopped.say("interrupted_before", "; it was interrupted {count} times before",
                       {said_count("count", journal.interruptions)});
  const auto gap = time_since(journal, now);
  if (!gap) {
    return stopped.say("gap_unknown",
                       ", and the machine was started anew or its date was set: nobody knows how long ago");
  }
  if (*gap > procedure->interruption_max) {
    return stopped.say("gap_too_long", ", longer than the {limit} after which it may go on: {gap} ago",
                       {said_amount("limit", as_minutes(procedure->interruption_max), 0, "min"),
                        said_amount("gap", as_minutes(*gap), 0, "min")});
  }
  return {};
}

bool may_be_another(const ExpectedVolts& expected, Second gap) {
  return gap > nobody_exchanges_within && expected.below_max + expected.above_max > tells_apart;
}

ExpectedVolts expected_after(const RunJournal& journal, StepKind kind, const Nameplate& nameplate) {
  const auto cells = static_cast<double>(nameplate.cells);
  const Volt last = journal.volts.value_or(journal.rested.value_or(Volt(0.0)));
  const bool has_own_sample = !journal.spans.empty() && journal.spans.back().first < journal.samples;
  if (kind != StepKind::charge) {
    // The step before may have lifted it or drawn it down.
    const Volt moved = has_own_sample ? Volt(0.0) : cell_lift * cells;
    return {last, rest_below + moved, rest_above + moved};
  }
  const double share = std::clamp(-(journal.step_charge / assumed_capacity(nameplate)), 0.0, 1.0);
  // Never below what it rested at before: a charge only lifts it.
  const Volt least = journal.rested.value_or(last) + cell_rise * cells * (sure_share * share);
  const bool was_charging = journal.step_charge != Coulomb(0.0);
  return {last, std::max(last - least, Volt(0.0)) + charge_apart,
          was_charging ? charge_apart : cell_lift * cells};
}

}  // namespace leadwright
