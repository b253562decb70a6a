// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/interrupted.h"

#include <fmt/format.h>

#include <algorithm>

#include "daemon/place/label_values.h"

namespace leadwright {

namespace {

constexpr const char* stopped = "the daemon stopped during this run; its samples stay as evidence";

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
  if (by_calendar < Second(0.0)) return std::nullopt;
  return std::max(by_calendar, now.bench - journal.bench_at);
}

std::string why_void(const Run& run, const Procedure* procedure, const StoredJournal* stored,
                     const Now& now) {
  if (procedure == nullptr) return fmt::format("{}, and its procedure is no longer there", stopped);
  if (procedure->hash != run.procedure_hash) return fmt::format("{}, and its procedure was changed", stopped);
  if (!procedure->resumes || stored == nullptr) return stopped;
  const RunJournal& journal = stored->journal;
  if (!fits(*stored, *procedure)) return fmt::format("{}, and its journal does not fit to them", stopped);
  if (draws(procedure->steps[journal.step].kind)) return stopped;
  if (!journal.faults.empty()) return fmt::format("{}, and it had found a fault", stopped);
  if (journal.interruptions >= interruptions_max)
    return fmt::format("{}; it was interrupted {} times before", stopped, journal.interruptions);
  const auto gap = time_since(journal, now);
  if (!gap) return fmt::format("{}, and the clock of the machine was set back since", stopped);
  if (*gap > procedure->interruption_max) {
    return fmt::format("{}, longer than the {:.0f} min after which it may go on: {:.0f} min ago", stopped,
                       as_minutes(procedure->interruption_max), as_minutes(*gap));
  }
  return {};
}

std::optional<ExpectedVolts> expected_after(const RunJournal& journal, StepKind kind,
                                            const Nameplate& nameplate) {
  if (!journal.volts) return std::nullopt;
  const Volt last = *journal.volts;
  if (kind != StepKind::charge) return ExpectedVolts{last, rest_below, rest_above};
  const auto cells = static_cast<double>(nameplate.cells);
  const double share = std::clamp(-(journal.step_charge / assumed_capacity(nameplate)), 0.0, 1.0);
  // Never below what it rested at before: a charge only lifts it.
  const Volt least = journal.rested.value_or(last) + cell_rise * cells * (sure_share * share);
  const bool was_charging = journal.step_charge != Coulomb(0.0);
  return ExpectedVolts{last, std::max(last - least, Volt(0.0)) + charge_apart,
                       was_charging ? charge_apart : cell_lift * cells};
}

}  // namespace leadwright
