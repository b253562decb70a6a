// SPDX-License-Identifier: Apache-2.0
// The store on disk: one SQLite file in the state folder. For: the daemon under the real and the scaled
// clock. Owned by main; must end before the loop does. Thread: open() and load() at start-up, write() from
// control; its own thread holds the one connection that writes and checkpoints. Never: acknowledges before
// the disk has it. Read next: records.h, schema/001.sql, history.h (the reader's side).
#pragma once

#include <memory>
#include <string>

#include "daemon/clock/clock.h"
#include "daemon/store/store.h"

namespace leadwright {

struct StoreOptions {
  std::string folder;              ///< made if absent
  bool simulated = false;          ///< whether the bench is; a database of the other kind is refused
  std::size_t batches_max = 1024;  ///< accepted and not yet durable
};

class SqliteStore final : public Store {
 public:
  /// Start-up only; blocks. Takes the folder's lock, checks the file, moves its schema forward (with a backup
  /// first). Fails with busy (a second daemon), refused (simulated and real mixed), unsupported (newer
  /// schema), bad_input or io (not ours, damaged); the file is kept as it is.
  static Result<std::unique_ptr<SqliteStore>> open(StoreOptions options, Loop& control);
  /// Writes what was accepted, then closes. Acknowledgements are posted, and run only if the loop still does.
  ~SqliteStore() override;

  Result<StoredBench> load() override;
  /// After a failed sync every later batch fails with io until the daemon is started again: the disk can no
  /// longer be believed. A full disk fails only the batches that meet it.
  void write(Batch batch, std::function<void(Result<void>)> done) override;
  std::size_t backlog() const override;

  /// The database's path, for History and verify_audit.
  const std::string& path() const;

 private:
  class Work;
  explicit SqliteStore(std::unique_ptr<Work> work);
  std::unique_ptr<Work> work_;
};

/// Where the database lies in a state folder.
std::string database_path(const std::string& folder);

}  // namespace leadwright
