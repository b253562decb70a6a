// SPDX-License-Identifier: Apache-2.0
// The store of a virtual world: keeps records in memory and takes its time on the clock. For: tests,
// rehearsals and seeded worlds; the same seed gives the same latencies. Owned by the world, which may hand it
// to a second daemon after a simulated kill. Thread: the world's only one.
#pragma once

#include <cstdint>
#include <deque>
#include <map>
#include <random>

#include "daemon/clock/clock.h"
#include "daemon/store/history.h"
#include "daemon/store/store.h"

namespace leadwright {

/// How the disk behaves. All faults are off by default.
struct StorePlan {
  std::uint64_t seed = 1;
  Second latency_min{0.0005};
  Second latency_max{0.005};
  double fail_share = 0.0;   ///< share of batches that fail with io, 0..1
  double stall_share = 0.0;  ///< share of batches that take `stall` longer, 0..1
  Second stall{30.0};
  std::size_t batches_max = 1024;
  bool simulated = true;
};

class MemoryStore final : public Store, public History {
 public:
  explicit MemoryStore(Clock& clock, StorePlan plan = {});

  Result<StoredBench> load() override;
  /// As SqliteStore: a record may refer only to what is stored or stands before it, else the batch fails with
  /// bug, and a failed batch leaves nothing.
  void write(Batch batch, std::function<void(Result<void>)> done) override;
  std::size_t backlog() const override { return pending_.size(); }

  Result<std::vector<Sample>> trace(RunId run) override;
  Result<bool> has_run(RunId run) override { return kept_.runs.contains(run); }
  Result<std::string> photo(PhotoId id) override;
  Result<std::vector<AuditEntry>> audit_of(const std::string& subject) override;
  Result<std::vector<Ticket>> closed_tickets(int count) override;
  Result<StoredBench> visit(TicketId id) override;
  Result<StoredBench> everything() override;
  /// All audit rows, oldest first.
  const std::vector<AuditEntry>& audit() const { return kept_.audit; }

  /// What comes next behaves by another plan; its seed is not used.
  void change_plan(StorePlan plan) { plan_ = plan; }
  /// Everything not yet durable is lost, and its `done` never called.
  void power_cut();

 private:
  struct Pending {
    Batch batch;
    std::function<void(Result<void>)> done;
    Second takes;
    bool fails = false;
  };
  /// Ordered maps: what is loaded must not depend on addresses or hashes.
  struct Kept {
    std::map<BatteryId, Battery> batteries;
    std::map<TicketId, Ticket> tickets;
    std::map<RunId, Run> runs;
    std::vector<Finding> findings;
    std::vector<Fault> faults;
    std::vector<Grade> grades;
    std::map<std::pair<TicketId, int>, GradeOverride> overrides;
    std::map<PhotoId, Photo> photos;
    std::map<std::string, PlaceRecord> places;
    std::map<PersonId, Person> people;
    std::map<RunId, std::map<int, std::vector<Sample>>> traces;
    std::vector<AuditEntry> audit;
    std::map<RunId, RunJournal> journals;
    std::vector<KeptAnswer> answers;
  };
  struct Keeper;
  double share();
  void start_next();
  void finish_next();
  Result<void> check(const Batch& batch) const;

  Clock& clock_;
  StorePlan plan_;
  std::mt19937_64 random_;
  Timer timer_;
  std::deque<Pending> pending_;
  Kept kept_;
};

}  // namespace leadwright
