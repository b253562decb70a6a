// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/unsaved.h"

#include <algorithm>
#include <iterator>
#include <set>
#include <string>
#include <utility>

#include "daemon/queue/overrule.h"

namespace leadwright {

void Unsaved::add(Batch batch) {
  for (Record& record : batch) {
    if (std::holds_alternative<AuditEntry>(record) && size() >= rows_max) {
      ++rows_lost_;
    } else {
      batch_.push_back(std::move(record));
    }
  }
  if (!is_writing_) timer_.set(machine_.now() + try_again_every, [this] { try_again(); });
}

void Unsaved::bring_up_to_date() {
  for (Record& record : batch_) {
    if (auto* ticket = std::get_if<Ticket>(&record)) {
      if (const TicketFile* file = ledger_.find(ticket->id)) *ticket = file->ticket;
    } else if (auto* battery = std::get_if<Battery>(&record)) {
      if (const TicketFile* file = ledger_.newest_of(battery->id)) *battery = file->battery;
    } else if (auto* place = std::get_if<PlaceRecord>(&record)) {
      place->latched_trip = trip_of(place->name);
    } else if (auto* run = std::get_if<Run>(&record)) {
      const TicketFile* file = ledger_.find(run->ticket);
      if (file == nullptr) continue;
      const auto known = std::ranges::find(file->runs, run->id, &Run::id);
      if (known != file->runs.end()) *run = *known;
    } else if (auto* given = std::get_if<GradeOverride>(&record)) {
      TicketFile* file = ledger_.find(given->ticket);
      const GradeOverride* now = file != nullptr ? override_numbered(*file, given->number) : nullptr;
      if (now != nullptr) *given = *now;
    } else if (auto* photo = std::get_if<Photo>(&record)) {
      const Photo* const known = ledger_.find(photo->id);
      // One that was erased meanwhile comes without its picture.
      if (known != nullptr && known->bytes == 0) *photo = *known;
    }
  }
}

void Unsaved::drop_earlier_versions() {
  using Key = std::pair<std::size_t, std::string>;
  std::set<Key> seen;
  // The first stays, since what refers to it stands behind it.
  std::erase_if(batch_, [&seen](const Record& record) {
    std::string id;
    if (const auto* battery = std::get_if<Battery>(&record)) id = shown(battery->id);
    if (const auto* ticket = std::get_if<Ticket>(&record)) id = shown(ticket->id);
    if (const auto* run = std::get_if<Run>(&record)) id = shown(run->id);
    if (const auto* place = std::get_if<PlaceRecord>(&record)) id = place->name;
    // An erasure is another thing than the name before it.
    if (const auto* person = std::get_if<Person>(&record))
      id = shown(person->id) + (person->is_erased() ? " erased" : "");
    return !id.empty() && !seen.insert({record.index(), id}).second;
  });
}

void Unsaved::try_again() {
  bring_up_to_date();
  drop_earlier_versions();
  is_writing_ = true;
  writing_ = std::exchange(batch_, {});
  store_.write(writing_, [this](const Result<void>& result) { written(result); });
}

void Unsaved::written(const Result<void>& result) {
  is_writing_ = false;
  if (!result) {
    // What was refused meanwhile is newer.
    std::ranges::move(std::exchange(batch_, {}), std::back_inserter(writing_));
    batch_ = std::exchange(writing_, {});
  }
  if (batch_.empty()) {
    on_saved();
    rows_lost_ = 0;
  } else {
    timer_.set(machine_.now() + try_again_every, [this] { try_again(); });
  }
}

}  // namespace leadwright
