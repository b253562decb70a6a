// SPDX-License-Identifier: Apache-2.0
// Start of the database: every check that must pass before the store accepts work. Private to this folder.
#pragma once

#include <string>

#include "daemon/store/database.h"
#include "daemon/store/sqlite_store.h"

namespace leadwright {

/// Opens or makes the database for writing: WAL, full sync, checked, of the newest schema and the right kind.
Result<Database> open_for_writing(const StoreOptions& options);

/// Moves the write-ahead log into the file, and empties it if `truncate`. True if all of it was moved; a
/// reader may hold some back.
bool checkpoint(Database& database, bool truncate);

/// Pages in the write-ahead log since it was last emptied.
class WalWatch {
 public:
  /// Replaces SQLite's own automatic checkpoint. `database` must not move afterwards.
  explicit WalWatch(Database& database);
  WalWatch(const WalWatch&) = delete;
  WalWatch& operator=(const WalWatch&) = delete;
  int pages() const { return pages_; }
  void emptied() { pages_ = 0; }

 private:
  int pages_ = 0;
};

}  // namespace leadwright
