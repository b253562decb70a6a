// SPDX-License-Identifier: Apache-2.0
// A layer under SQLite that remembers every write, truncation, sync and deletion, so that a test can rebuild
// the disk as a power cut would have left it at any moment; and that fails the n-th of them on request.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace leadwright {

struct FileOperation {
  enum class Kind { write, truncate, sync, remove } kind = Kind::write;
  std::string path;
  std::int64_t offset = 0;  ///< of a write; new size of a truncation
  std::string bytes;
};

/// What happens to operations after a file's last sync.
enum class Unsynced {
  lost,       ///< none reached the disk
  kept,       ///< all did
  torn,       ///< all did, but the first half of the last write only
  reordered,  ///< every second one did
};

/// Content of every file by path, had the power gone after the first `count` operations.
std::map<std::string, std::string> disk_after(const std::vector<FileOperation>& operations, std::size_t count,
                                              Unsynced unsynced);

/// SQLite's default layer as long as it lives. One at a time. Nothing is really synced below it, so it is
/// fast.
class RecordingVfs {
 public:
  /// `read_only`: what fails goes on failing, as a disk does that the kernel no longer lets be written.
  enum class Failure { none, input_output, disk_full, read_only };

  RecordingVfs();
  RecordingVfs(const RecordingVfs&) = delete;
  RecordingVfs& operator=(const RecordingVfs&) = delete;
  ~RecordingVfs();

  std::vector<FileOperation> operations() const;
  std::size_t count() const;
  /// Operation number `index` (from 0, deletions apart) fails in this way, once.
  void fail_at(std::size_t index, Failure failure);
  /// The next sync fails, once; what follows succeeds, as some disks do.
  void fail_next_sync();
};

}  // namespace leadwright
