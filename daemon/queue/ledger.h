// SPDX-License-Identifier: Apache-2.0
// What control knows of every ticket: the facts of the store, in memory, one file a ticket. Thread: control.
// Never: writes to the store (bench.h does) or decides anything (planner.h does).
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "daemon/battery/grade_override.h"
#include "daemon/battery/ticket.h"
#include "daemon/grading/evidence.h"
#include "daemon/store/store.h"

namespace leadwright {

/// Everything about one visit of one battery.
struct TicketFile {
  Ticket ticket;
  Battery battery;
  std::vector<Run> runs;  ///< in order of start
  std::vector<Finding> findings;
  std::vector<Fault> faults;
  std::optional<Grade> grade;            ///< the bench's own
  std::vector<GradeOverride> overrides;  ///< by number from 1, without a gap
  std::vector<Photo> photos;             ///< by number, without their pictures
  /// Last resting volts that a meter showed, with what was done before: for "is this the same battery?".
  std::optional<Volt> last_volts;
  Coulomb drawn{0.0};                   ///< since the last finished charge; starts anew with the daemon
  std::optional<Volt> same_battery_at;  ///< what it read when a person said that it is this one
  bool cells_confirmed = false;
  bool polarity_confirmed = false;  ///< by the marks on its posts, for what is clamped on now
  bool too_flat = false;  ///< a person looked, and it does not show its polarity or bear the light draw
  bool shield_confirmed = false;      ///< for the next run only
  bool has_collapsed = false;         ///< its voltage did, in the last run that moved anything
  bool clamps_reseated = false;       ///< by a person since then, at its place; for the next such run only
  std::optional<Instant> charged_at;  ///< when current last went in

  /// Newest finding of a measurand from a complete run, or null.
  const Finding* newest(Measurand measurand) const;
  const Run* newest_run() const { return runs.empty() ? nullptr : &runs.back(); }
};

class Ledger;

/// Its battery in a line: "flooded 12 V, 60 Ah, 640 A, L2, SERIAL".
std::string label_of(const TicketFile& file);

/// What the letter of this visit is made from, judged at that moment.
Evidence evidence_of(const TicketFile& file, Utc judged_at);
/// The same with what other tickets add to a grade: whether its receipt was shown before.
Evidence evidence_of(const TicketFile& file, const Ledger& ledger, Utc judged_at);

class Ledger {
 public:
  /// Fills an empty ledger.
  void load(StoredBench stored);

  TicketFile* find(TicketId id);
  TicketFile* find_shown(std::string_view shown_id);
  /// A photo of any ticket, or null.
  Photo* find(PhotoId id);
  /// The open ticket that stands at a place, or null. A shelf may hold many: use files().
  TicketFile* at_place(std::string_view place);
  const Battery* battery_of_serial(std::string_view serial) const;
  /// The newest ticket of a battery, or null.
  const TicketFile* newest_of(BatteryId battery) const;

  TicketFile& add(Battery battery, Ticket ticket);
  std::map<TicketId, TicketFile>& files() { return files_; }
  const std::map<TicketId, TicketFile>& files() const { return files_; }

  BatteryId next_battery() { return BatteryId{++last_battery_}; }
  TicketId next_ticket() { return TicketId{++last_ticket_}; }
  PhotoId next_photo() { return PhotoId{++last_photo_}; }
  RunId next_run() { return RunId{++last_run_}; }

 private:
  std::map<TicketId, TicketFile> files_;
  std::map<std::string, Battery, std::less<>> batteries_;
  std::int64_t last_battery_ = 0;
  std::int64_t last_ticket_ = 0;
  std::int64_t last_run_ = 0;
  std::int64_t last_photo_ = 0;
};

}  // namespace leadwright
