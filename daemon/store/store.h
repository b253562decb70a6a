// SPDX-License-Identifier: Apache-2.0
// The store seam. For: facts that must survive a kill and a power cut. Owned by main. Thread: write() from
// control; the work happens on the store's own thread (or, in a virtual world, as a latency on the same
// loop). Never: blocks control, and never says done before the data is durable. Read next: sqlite_store.h.
#pragma once

#include <functional>
#include <string>
#include <variant>
#include <vector>

#include "daemon/battery/grade_override.h"
#include "daemon/battery/journal.h"
#include "daemon/battery/people.h"
#include "daemon/battery/photo.h"
#include "daemon/battery/sample.h"
#include "daemon/battery/ticket.h"
#include "protocol/result.h"

namespace leadwright {

/// Up to 60 s of a run's samples.
struct TraceBlock {
  RunId run{};
  int sequence = 0;
  std::vector<Sample> samples;
};

/// What a place must remember over a restart.
struct PlaceRecord {
  std::string name;
  bool out_of_service = false;
  std::string latched_trip;  ///< empty if none; else its reason, until acknowledged
  Phrases trip_said = {};    ///< `latched_trip`
};

/// From now on nothing goes on with this run after a restart.
struct NoResume {
  RunId run{};
};

/// What was answered to a creation, by the key that the asker chose.
struct KeptAnswer {
  /// After this time it is forgotten: longer than anybody tries again.
  static constexpr Second kept_for{7.0 * 24.0 * 3600.0};
  std::string key;
  std::string asked;  ///< hash of who asked for what
  int status = 0;
  std::string body;
  Utc at;
};

/// New facts are inserted; battery, ticket, run, override, photo, place, person, journal and answer replace
/// their earlier version. A run that has ended loses its journal. A person whose name was erased stays
/// without one, whatever is written later.
using Record = std::variant<Battery, Ticket, Run, Finding, Fault, Grade, PlaceRecord, TraceBlock, AuditEntry,
                            RunJournal, NoResume, KeptAnswer, GradeOverride, Photo, Person>;
using Batch = std::vector<Record>;

/// Everything that control needs after a start.
struct StoredBench {
  std::vector<Battery> batteries;
  std::vector<Ticket> tickets;  ///< all, closed ones too: the second visit of a battery must find the first
  std::vector<Run> runs;        ///< of tickets that are not closed, and every run still "running"
  std::vector<Finding> findings;
  std::vector<Fault> faults;
  std::vector<Grade> grades;
  std::vector<GradeOverride> overrides;  ///< of each ticket by number
  std::vector<Photo> photos;             ///< by number, without their pictures
  std::vector<PlaceRecord> places;
  std::vector<Person> people;
  std::vector<StoredJournal> journals;  ///< of runs still "running"; one that can't be read is left out
  std::vector<KeptAnswer> answers;      ///< oldest first
  std::int64_t last_battery = 0;
  std::int64_t last_ticket = 0;
  std::int64_t last_run = 0;
  std::int64_t last_photo = 0;
  bool simulated = false;  ///< the database holds simulated work
};

class Store {
 public:
  virtual ~Store() = default;
  /// Start-up only; blocks.
  virtual Result<StoredBench> load() = 0;
  /// One transaction. `done` runs on control's loop, once, when the data is durable or has failed; it may be
  /// empty. Batches are written in the order given. Fails with busy when the queue is full. Once an erasure
  /// (of a name, of a photo) is done no file of the store holds it, except while a reader still looks at what
  /// was there before.
  virtual void write(Batch batch, std::function<void(Result<void>)> done) = 0;
  /// Batches accepted and not yet durable.
  virtual std::size_t backlog() const = 0;
};

}  // namespace leadwright
