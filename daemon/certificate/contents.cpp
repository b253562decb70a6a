// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/contents.h"

#include <algorithm>

#include "daemon/certificate/contents_parts.h"
#include "daemon/queue/cautions.h"
#include "daemon/queue/overrule.h"

namespace leadwright {
namespace {

std::string meaning_of(char letter) {
  switch (letter) {
    case 'A':
      return "meets its rating";
    case 'B':
      return "sound";
    case 'C':
      return "serviceable";
    case 'D':
      return "worn";
    case 'F':
      return "faulty";
    default:
      return "undecided";
  }
}

std::vector<std::string> fault_words(const std::vector<Fault>& faults) {
  std::vector<std::string> texts;
  for (const Fault& fault : faults) {
    std::string text(word(fault.kind));
    std::ranges::replace(text, '_', ' ');
    texts.push_back(text.append(": ").append(fault.evidence));
  }
  return texts;
}

std::vector<std::string> rule_words(const std::vector<GradeRule>& rules) {
  std::vector<std::string> texts(rules.size());
  std::ranges::transform(rules, texts.begin(), &GradeRule::text);
  return texts;
}

std::vector<std::string> work_words(const std::vector<Run>& runs, Utc graded_at) {
  std::vector<std::string> texts;
  for (const Run& run : runs) {
    if (run.started_at > graded_at) continue;
    const std::string_view outcome = run.outcome == RunOutcome::void_ ? "void" : word(run.outcome);
    std::string text = shown(run.id);
    text.append(" ").append(run.procedure).append(", version ").append(std::to_string(run.procedure_version));
    text.append(", ").append(outcome).append(", ").append(run.started_at.rfc3339());
    texts.push_back(std::move(text));
  }
  return texts;
}

std::string calibration_words(const UsedInstrument& used) {
  if (used.calibration_due.empty()) return "calibration date not known";
  std::string text(used.calibration_overdue ? "past its last day of calibration, " : "calibrated until ");
  return text.append(used.calibration_due);
}

/// Of complete runs before the grade, each unit once; what the last run said of it counts.
std::vector<CertifiedInstrument> instruments_of(const std::vector<Run>& runs, Utc graded_at) {
  std::vector<CertifiedInstrument> all;
  for (const Run& run : runs) {
    if (run.outcome != RunOutcome::complete || run.started_at > graded_at) continue;
    for (const UsedInstrument& used : run.instruments) {
      CertifiedInstrument one{used.name, used.identity, calibration_words(used)};
      const auto same = std::ranges::find_if(all, [&](const CertifiedInstrument& other) {
        return other.name == one.name && other.identity == one.identity;
      });
      if (same == all.end()) {
        all.push_back(std::move(one));
      } else if (!same->calibration.starts_with("past")) {
        same->calibration = one.calibration;
      }
    }
  }
  return all;
}

/// The arithmetic of the warranty goes by what was found.
void set_by_persons(Certificate& made, const GradeOverride& given) {
  made.own_letter = OwnLetter{made.letter, made.meaning, given.why, given.settled_at.value_or(Utc())};
  made.letter = given.letter;
  made.meaning = meaning_of(given.letter);
  made.disposition = given.disposition;
  if (made.warranty.empty()) return;
  std::string by("By the bench's own letter ");
  made.warranty = by.append(1, given.own_letter).append(": ").append(made.warranty);
}

}  // namespace

const char* word(FindingKind kind) {
  switch (kind) {
    case FindingKind::measured:
      return "measured";
    case FindingKind::at_least:
      return "at least";
    case FindingKind::estimated:
      return "estimated, not measured";
    case FindingKind::forecast:
      return "forecast, not measured";
  }
  return "";
}

Result<Certificate> certificate_of(const CertificateSource& source) {
  const TicketFile& file = source.file;
  const std::string ticket = shown(file.ticket.id);
  if (!file.grade) {
    return fail(Errc::conflict, ticket + " has no grade yet, so there is nothing to certify", "ticket",
                "leadwright ticket show " + ticket + " says what is still to be done");
  }
  const Grade& grade = *file.grade;
  const std::vector<const Finding*> judged = judged_findings(file);
  Certificate made;
  made.ticket = ticket;
  made.simulated = source.simulated;
  made.letter = grade.letter;
  made.meaning = meaning_of(grade.letter);
  made.reason = grade.reason;
  made.minutes = minutes_words(judged);
  made.disposition = grade.disposition;
  made.warranty = grade.warranty;
  if (const GradeOverride* given = standing_override(file)) set_by_persons(made, *given);
  made.second_life = grade.second_life;
  made.flags = grade.flags;
  made.graded_at = grade.at;
  made.policy = grade.policy;
  made.policy_hash = grade.policy_hash;
  made.software = grade.software;
  made.nameplate = nameplate_facts(file.battery);
  made.visit = visit_facts(file.ticket, source.ticket_audit);
  made.faults = fault_words(file.faults);
  made.findings = certified_findings(judged);
  made.rules = rule_words(grade.rules);
  made.plot = plot_of(file, judged, source.discharge);
  made.not_measured = not_measured_of(judged);
  made.remembered = remembered_values(file, judged);
  made.overrides = overrides_of(source);
  made.work = work_words(file.runs, grade.at);
  made.instruments = instruments_of(file.runs, grade.at);
  made.cautions = cautions();
  return made;
}

}  // namespace leadwright
