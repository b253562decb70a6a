// SPDX-License-Identifier: Apache-2.0
// The promises about facts: 4 kept, 5 own_run, 6 recharged, 7 charge, 11 converges.
#include <fmt/format.h>

#include <algorithm>

#include "tools/simtest_world/promises.h"

namespace leadwright {

namespace {

/// Drawn by tests, of the capacity on the label (bench.cpp's rule is a quarter), and what meters may miss.
constexpr double share_drawn_max = 0.25;
constexpr double share_missed = 0.01;

}  // namespace

void Promises::store_fails(bool fails, Instant at) {
  if (store_fails_ || fails) store_failed_at_ = at;
  store_fails_ = fails;
}

void Promises::shown(const Finding& finding, Instant at) {
  findings_.emplace_back(finding, at);
}

void Promises::shown(const Grade& grade, Instant at) {
  grades_.emplace_back(grade, at);
}

void Promises::kept(const StoredBench& stored, const std::vector<AuditEntry>& audit, Instant at) {
  std::map<std::string, std::size_t> rows;
  for (const AuditEntry& row : audit) ++rows[key(row)];
  for (const auto& [row, count] : acknowledged_) {
    if (rows[row] >= count) continue;
    broke("kept", at,
          fmt::format("{} of {} acknowledged audit rows \"{}\" are stored", rows[row], count, row));
  }
  std::map<TicketId, const Ticket*> tickets;
  for (const Ticket& ticket : stored.tickets) tickets[ticket.id] = &ticket;
  for (const auto& [id, closed] : tickets_) {
    const auto found = tickets.find(id);
    if (found == tickets.end()) {
      broke("kept", at, leadwright::shown(id) + " was acknowledged and is lost");
    } else if (closed && found->second->state != TicketState::closed) {
      broke("kept", at, leadwright::shown(id) + " was closed and is open again");
    }
  }
  for (const auto& [finding, seen_at] : findings_) {
    if (!must_be_kept(seen_at, at)) continue;
    const bool is_kept = std::ranges::any_of(stored.findings, [&finding = finding](const Finding& other) {
      return other.run == finding.run && other.measurand == finding.measurand && other.value == finding.value;
    });
    if (!is_kept) {
      broke("kept", at,
            fmt::format("the finding {} of {} is lost", leadwright::key(finding.measurand),
                        leadwright::shown(finding.run)));
    }
  }
  for (const auto& [grade, seen_at] : grades_) {
    if (!must_be_kept(seen_at, at)) continue;
    const bool is_kept = std::ranges::any_of(stored.grades, [&grade = grade](const Grade& other) {
      return other.ticket == grade.ticket && other.at == grade.at && other.letter == grade.letter;
    });
    if (!is_kept)
      broke("kept", at,
            fmt::format("the grade {} of {} is lost", grade.letter, leadwright::shown(grade.ticket)));
  }
  // What is lost is told once, and what was never a minute old is no promise after this.
  acknowledged_.clear();
  for (const auto& [row, count] : rows) acknowledged_[row] = count;
  tickets_.clear();
  findings_.clear();
  grades_.clear();
  for (const Ticket& ticket : stored.tickets) tickets_[ticket.id] = ticket.state == TicketState::closed;
  for (const Finding& finding : stored.findings) findings_.emplace_back(finding, at);
  for (const Grade& grade : stored.grades) grades_.emplace_back(grade, at);
}

void Promises::ended(const EndedRunSeen& run, Instant at) {
  runs_.insert_or_assign(run.run, run);
  if (run.outcome == RunOutcome::tripped && !run.place_tripped)
    broke("shouted", at, leadwright::shown(run.run) + " tripped, and its place goes on");
  const bool is_complete = run.outcome == RunOutcome::complete;
  const bool is_counted = is_complete || run.outcome == RunOutcome::stopped;
  if (!is_counted || run.allowed < Coulomb(0.0)) return;
  const Coulomb off = run.recorded - run.given;
  // What went in unmeasured is missing in the record, so that this is how far it may lie above.
  if (run.was_cut && off > run.unmeasured + run.allowed_watched) {
    broke("charge", at,
          fmt::format("{} ({}): {:.1f} As went in unmeasured and it says {:.1f} As at most",
                      leadwright::shown(run.run), run.procedure, off.si(), run.unmeasured.si()));
  }
  if (!is_complete || abs(off) <= run.allowed) return;
  broke("charge", at,
        fmt::format("{} ({}): recorded {:.1f} As, the battery gave {:.1f} As, allowed {:.1f} As",
                    leadwright::shown(run.run), run.procedure, run.recorded.si(), run.given.si(),
                    run.allowed.si()));
}

void Promises::graded(TicketId ticket, const std::vector<Finding>& findings, Instant at) {
  for (const Finding& finding : findings) {
    const auto found = runs_.find(finding.run);
    const auto what = [&](const char* why) {
      return fmt::format("{}: the grade rests on {} of {}, {}", leadwright::shown(ticket),
                         leadwright::key(finding.measurand), leadwright::shown(finding.run), why);
    };
    if (found == runs_.end() || found->second.outcome != RunOutcome::complete) {
      broke("own_run", at, what("which did not complete"));
    } else if (found->second.drew_when_cut) {
      broke("own_run", at, what("whose discharge was stitched together after its daemon had died"));
    } else if (found->second.ticket != ticket || finding.ticket != ticket) {
      broke("own_run", at, what("a run of another ticket"));
    } else if (!found->second.own_battery && !found->second.was_deceived) {
      broke("own_run", at, what("which measured another battery"));
    }
  }
}

void Promises::left(TicketId ticket, Closing closing, Coulomb lacks, Coulomb capacity, Instant at) {
  if (closing != Closing::handed_back && closing != Closing::resold) return;
  if (lacks <= capacity * (share_drawn_max + share_missed)) return;
  broke("recharged", at,
        fmt::format("{} is {} and lacks {:.1f} of {:.1f} Ah that tests drew", leadwright::shown(ticket),
                    word(closing), as_ampere_hours(lacks), as_ampere_hours(capacity)));
}

void Promises::converged(bool has, const std::string& what_is_left, Instant at) {
  if (!has) broke("converges", at, what_is_left);
}

}  // namespace leadwright
