// SPDX-License-Identifier: Apache-2.0
// Looking back: what the store holds beyond the present. Never writes, never checkpoints; every call is one
// short read. Thread: one at a time, any (the web thread has its own).
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "daemon/store/store.h"

namespace leadwright {

class History {
 public:
  virtual ~History() = default;
  /// All stored samples of a run, in order of time; empty for a run that has none.
  virtual Result<std::vector<Sample>> trace(RunId run) = 0;
  virtual Result<bool> has_run(RunId run) = 0;
  /// The JPEG of a photo; empty if it was erased or there is no such photo.
  virtual Result<std::string> photo(PhotoId id) = 0;
  /// Audit rows whose subject is `subject` ("T-000123-c", a place), oldest first.
  virtual Result<std::vector<AuditEntry>> audit_of(const std::string& subject) = 0;
  /// The `count` closed tickets of the highest numbers, newest first.
  virtual Result<std::vector<Ticket>> closed_tickets(int count) = 0;
  /// Every fact of one ticket but the samples; no ticket in it if there is none of that number.
  virtual Result<StoredBench> visit(TicketId id) = 0;
  /// Every fact but the samples, of closed tickets too.
  virtual Result<StoredBench> everything() = 0;
};

/// On a database that a SqliteStore has opened before. Its connection is read-only. Fails with unsupported if
/// another version of the program opened it last.
Result<std::unique_ptr<History>> open_history(const std::string& database_path);

}  // namespace leadwright
