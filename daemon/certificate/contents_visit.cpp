// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>

#include "daemon/battery/people.h"
#include "daemon/battery/uncertainty.h"
#include "daemon/certificate/contents_parts.h"
#include "protocol/ascii.h"

namespace leadwright {
namespace {

void add_fact(std::vector<CertificateFact>& facts, const char* name, std::string value) {
  if (!value.empty()) facts.push_back({name, std::move(value)});
}

template <class T, class InUnit>
std::string rated_words(const std::optional<Rating<T>>& rating, InUnit in_unit, const char* unit) {
  if (!rating) return "not stated";
  std::string text = fixed(in_unit(rating->value), 0);
  text.append(" ").append(unit);
  if (rating->standard == RatingStandard::unknown) return text;
  return text.append(" (").append(upper_ascii(std::string_view(word(rating->standard)))).append(")");
}

std::string acid_words(const AcidReading& acid) {
  std::string text = "specific gravity as read";
  for (const auto& each : acid.gravity) text.append(" ").append(each ? fixed(each->value, 3) : "-");
  return text.append(" at ").append(fixed(acid.acid.degc(), 1)).append(" degC");
}

std::string seen_words(const Inspection& inspection) {
  constexpr std::array<std::pair<bool Inspection::*, const char*>, 9> signs{
      {{&Inspection::cracked, "cracked"},
       {&Inspection::leaking, "leaking"},
       {&Inspection::swollen, "swollen"},
       {&Inspection::frozen, "frozen"},
       {&Inspection::terminals_damaged, "terminals damaged"},
       {&Inspection::terminals_corroded, "terminals corroded"},
       {&Inspection::vents_blocked, "vents blocked"},
       {&Inspection::electrolyte_low, "plates above the acid"},
       {&Inspection::label_unreadable, "label or date code not readable"}}};
  std::string text;
  for (const auto& [sign, name] : signs) {
    if (inspection.*sign) text.append(text.empty() ? "" : ", ").append(name);
  }
  if (text.empty()) text = "no crack, leak, swelling, ice or damaged terminal seen";
  if (inspection.weight_kg) text.append("; ").append(fixed(*inspection.weight_kg, 1)).append(" kg");
  if (!inspection.plus_at.empty()) text.append("; plus post ").append(inspection.plus_at);
  if (inspection.acid) text.append("; ").append(acid_words(*inspection.acid));
  if (!inspection.remarks.empty()) text.append("; ").append(inspection.remarks);
  return text;
}

/// A person's answer that stood in for what a meter shows; empty for other answers.
const char* override_words(std::string_view act) {
  constexpr std::array<std::pair<std::string_view, const char*>, 4> acts{
      {{"place.acknowledge.same_battery", "that it is the same battery, against its voltage"},
       {"place.acknowledge.cells", "how many cells it has"},
       {"place.acknowledge.polarity", "its polarity, by the marks on its posts"},
       {"place.acknowledge.clamps", "that the clamps were set anew after a collapse of the voltage"}}};
  const auto* const found = std::ranges::find(acts, act, &std::pair<std::string_view, const char*>::first);
  return found == acts.end() ? "" : found->second;
}

/// When the ticket came to the place of a run: its last move before the run, else its reception.
Utc arrived(const CertificateSource& source, const Run& run) {
  Utc at = source.file.ticket.received_at;
  for (const AuditEntry& entry : source.ticket_audit) {
    if (entry.what == "ticket.move" && entry.at <= run.started_at) at = std::max(at, entry.at);
  }
  return at;
}

bool was_there(const CertificateSource& source, const AuditEntry& entry) {
  return std::ranges::any_of(source.file.runs, [&](const Run& run) {
    const Utc left = run.ended_at.value_or(source.file.grade->at);
    return run.place == entry.subject && entry.at >= arrived(source, run) && entry.at <= left;
  });
}

}  // namespace

std::vector<CertificateFact> nameplate_facts(const Battery& battery) {
  const Nameplate& plate = battery.nameplate;
  std::vector<CertificateFact> facts;
  add_fact(facts, "serial", battery.serial);
  add_fact(facts, "chemistry", word(plate.chemistry));
  add_fact(facts, "cells", std::to_string(plate.cells) + " (" + fixed(plate.nominal().si(), 0) + " V)");
  add_fact(facts, "reserve capacity", rated_words(plate.reserve_capacity, as_minutes, "min"));
  add_fact(facts, "20-hour capacity", rated_words(plate.c20, as_ampere_hours, "Ah"));
  const auto amps = [](Ampere current) { return current.si(); };
  add_fact(facts, "cold cranking", rated_words(plate.cca, amps, "A"));
  add_fact(facts, "size code", plate.size_code);
  add_fact(facts, "made", plate.manufactured_on.empty() ? "date code not read" : plate.manufactured_on);
  return facts;
}

std::vector<CertificateFact> visit_facts(const Ticket& ticket, const std::vector<AuditEntry>& audit) {
  std::vector<CertificateFact> facts;
  add_fact(facts, "taken in", ticket.received_at.rfc3339());
  add_fact(facts, "complaint", ticket.story.complaint.empty() ? "none written down" : ticket.story.complaint);
  std::string sold = ticket.story.sold_on;
  if (!ticket.story.receipt.empty())
    sold.append(sold.empty() ? "" : ", ").append("receipt ").append(ticket.story.receipt);
  add_fact(facts, "sold", sold);
  std::string monitor = words(ticket.story.monitor);
  if (!ticket.story.monitor_report.empty())
    monitor.append(monitor.empty() ? "" : "; ").append(ticket.story.monitor_report);
  add_fact(facts, "vehicle's monitor", monitor);
  add_fact(facts, "inspection", seen_words(ticket.inspection));
  const auto taken_in = std::ranges::find(audit, "ticket.add", &AuditEntry::what);
  // A signed page can't be erased. Rows of before there were codes say a name.
  if (taken_in != audit.end() && parse_person_id(person_of(taken_in->actor)))
    add_fact(facts, "inspected by", person_words(taken_in->actor) + " (a code of this bench)");
  if (ticket.previous) add_fact(facts, "earlier visit", shown(*ticket.previous));
  if (ticket.needs_recharge) add_fact(facts, "recharge", "needed before it leaves");
  return facts;
}

std::vector<std::string> overrides_of(const CertificateSource& source) {
  std::vector<std::string> texts;
  for (const AuditEntry& entry : source.places_audit) {
    const std::string about = override_words(entry.what);
    if (about.empty() || !was_there(source, entry)) continue;
    std::string text = "A person said " + about;
    if (!entry.why.empty()) text.append(" (").append(entry.why).append(")");
    texts.push_back(text.append(", ").append(entry.at.rfc3339()).append("."));
  }
  for (const Run& run : source.file.runs) {
    if (!run.consent) continue;
    std::string text = "The owner's consent to a " + run.consent->to + " was written down, ";
    texts.push_back(text.append(run.consent->at.rfc3339()).append("."));
  }
  return texts;
}

}  // namespace leadwright
