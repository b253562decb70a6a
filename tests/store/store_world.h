// SPDX-License-Identifier: Apache-2.0
// What the store's tests share: a folder that goes away, a loop across threads, and one of each record.
#pragma once

#include <condition_variable>
#include <deque>
#include <filesystem>
#include <functional>
#include <mutex>
#include <string>

#include "daemon/clock/clock.h"
#include "daemon/store/sqlite_store.h"

namespace leadwright {

class TempFolder {
 public:
  TempFolder();
  TempFolder(const TempFolder&) = delete;
  TempFolder& operator=(const TempFolder&) = delete;
  ~TempFolder();
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// Runs posted work on the test's thread, and waits for it without a clock.
class QueueLoop final : public Loop {
 public:
  void post(std::function<void()> work) override;
  void run_until(const std::function<bool()>& holds);

 private:
  void wake() override {}
  std::mutex mutex_;
  std::condition_variable arrived_;
  std::deque<std::function<void()>> work_;
};

/// Writes and waits for the answer.
Result<void> write_now(Store& store, QueueLoop& loop, Batch batch);

/// Opens a store that must open.
std::unique_ptr<SqliteStore> open_store(const std::string& folder, QueueLoop& loop, bool simulated = true);

/// A store that has been opened and closed, with `rows` audit rows in it.
void make_database(const std::string& folder, int rows = 0);

Battery example_battery(int number = 1);
Ticket example_ticket(int number = 1);
Run example_run(int number = 1);
Finding example_finding();
Fault example_fault();
Grade example_grade();
GradeOverride example_override(int number = 1);
Photo example_photo(const std::string& jpeg);
AuditEntry example_audit(int number = 1);
/// As a bench makes them: multiples of a nanosecond, a millivolt, a milliampere, a tenth of a degree.
std::vector<Sample> example_samples(int count = 100);
/// Battery, ticket and run 1: what findings and traces refer to.
Batch example_visit();

}  // namespace leadwright
