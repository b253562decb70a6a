// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/ledger.h"

#include <fmt/format.h>

#include <algorithm>

namespace leadwright {

const Finding* TicketFile::newest(Measurand measurand) const {
  const auto found = std::find_if(findings.rbegin(), findings.rend(), [measurand](const Finding& finding) {
    return finding.measurand == measurand;
  });
  return found == findings.rend() ? nullptr : &*found;
}

std::string label_of(const TicketFile& file) {
  const Nameplate& plate = file.battery.nameplate;
  std::string label = fmt::format("{} {:.0f} V", word(plate.chemistry), plate.nominal().si());
  if (plate.c20) label += fmt::format(", {:.0f} Ah", as_ampere_hours(plate.c20->value));
  if (plate.cca) label += fmt::format(", {:.0f} A", plate.cca->value.si());
  if (!plate.size_code.empty()) label += ", " + plate.size_code;
  return label + ", " + file.battery.serial;
}

void Ledger::load(StoredBench stored) {
  last_battery_ = stored.last_battery;
  last_ticket_ = stored.last_ticket;
  last_run_ = stored.last_run;
  last_photo_ = stored.last_photo;
  std::map<BatteryId, Battery> by_id;
  for (Battery& battery : stored.batteries) {
    by_id.emplace(battery.id, battery);
    std::string serial = battery.serial;
    batteries_.insert_or_assign(std::move(serial), std::move(battery));
  }
  for (Ticket& ticket : stored.tickets) {
    TicketFile file;
    file.battery = by_id[ticket.battery];
    file.ticket = std::move(ticket);
    const TicketId id = file.ticket.id;
    files_.emplace(id, std::move(file));
  }
  for (Run& run : stored.runs) {
    if (TicketFile* file = find(run.ticket)) file->runs.push_back(std::move(run));
  }
  for (Finding& finding : stored.findings) {
    if (TicketFile* file = find(finding.ticket)) file->findings.push_back(std::move(finding));
  }
  for (auto& [id, file] : files_) {
    // The newest run saw the battery at rest: the next clamp-on is compared with that.
    const Finding* ocv = file.newest(Measurand::ocv);
    if (ocv != nullptr && !file.runs.empty() && file.runs.back().id == ocv->run)
      file.last_volts = Volt(ocv->value);
  }
  for (Fault& fault : stored.faults) {
    if (TicketFile* file = find(fault.ticket)) file->faults.push_back(std::move(fault));
  }
  for (Grade& grade : stored.grades) {
    if (TicketFile* file = find(grade.ticket)) file->grade = std::move(grade);
  }
  for (GradeOverride& given : stored.overrides) {
    if (TicketFile* file = find(given.ticket)) file->overrides.push_back(std::move(given));
  }
  for (Photo& photo : stored.photos) {
    if (TicketFile* file = find(photo.ticket)) file->photos.push_back(std::move(photo));
  }
}

TicketFile* Ledger::find(TicketId id) {
  const auto found = files_.find(id);
  return found == files_.end() ? nullptr : &found->second;
}

TicketFile* Ledger::find_shown(std::string_view shown_id) {
  const Result<TicketId> id = parse_ticket_id(shown_id);
  return id ? find(*id) : nullptr;
}

Photo* Ledger::find(PhotoId id) {
  for (auto& [ticket, file] : files_) {
    const auto found = std::ranges::find(file.photos, id, &Photo::id);
    if (found != file.photos.end()) return &*found;
  }
  return nullptr;
}

TicketFile* Ledger::at_place(std::string_view place) {
  for (auto& [id, file] : files_) {
    if (file.ticket.place == place && file.ticket.state != TicketState::closed) return &file;
  }
  return nullptr;
}

const Battery* Ledger::battery_of_serial(std::string_view serial) const {
  const auto found = batteries_.find(serial);
  return found == batteries_.end() ? nullptr : &found->second;
}

const TicketFile* Ledger::newest_of(BatteryId battery) const {
  const auto found = std::find_if(files_.rbegin(), files_.rend(), [battery](const auto& entry) {
    return entry.second.ticket.battery == battery;
  });
  return found == files_.rend() ? nullptr : &found->second;
}

Evidence evidence_of(const TicketFile& file, Utc judged_at) {
  Evidence evidence{file.battery.nameplate, file.ticket.inspection, file.findings, file.faults};
  evidence.story = file.ticket.story;
  evidence.runs = file.runs;
  evidence.judged_at = judged_at;
  return evidence;
}

Evidence evidence_of(const TicketFile& file, const Ledger& ledger, Utc judged_at) {
  Evidence evidence = evidence_of(file, judged_at);
  const std::string& receipt = file.ticket.story.receipt;
  for (const auto& [id, other] : ledger.files()) {
    const auto& weight = other.ticket.inspection.weight_kg;
    if (id < file.ticket.id && other.ticket.battery == file.ticket.battery && weight)
      evidence.earlier_weight_kg = weight;
  }
  evidence.receipt_seen_before =
      !receipt.empty() && std::ranges::any_of(ledger.files(), [&](const auto& other) {
        const Ticket& ticket = other.second.ticket;
        return ticket.id < file.ticket.id && ticket.battery != file.ticket.battery &&
               ticket.story.receipt == receipt;
      });
  return evidence;
}

TicketFile& Ledger::add(Battery battery, Ticket ticket) {
  batteries_.insert_or_assign(battery.serial, battery);
  TicketFile file;
  file.battery = std::move(battery);
  file.ticket = std::move(ticket);
  const TicketId id = file.ticket.id;
  return files_.insert_or_assign(id, std::move(file)).first->second;
}

}  // namespace leadwright
