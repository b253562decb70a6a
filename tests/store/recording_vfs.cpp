// SPDX-License-Identifier: Apache-2.0
#include "tests/store/recording_vfs.h"

#include <sqlite3.h>

#include <algorithm>
#include <limits>
#include <mutex>
#include <new>
#include <utility>

namespace leadwright {

namespace {

/// Shared with SQLite's callbacks, which carry no context of ours.
struct Recorder {
  std::mutex mutex;
  std::vector<FileOperation> operations;
  std::size_t failing = std::numeric_limits<std::size_t>::max();
  RecordingVfs::Failure failure = RecordingVfs::Failure::none;
  bool fails_next_sync = false;

  /// Notes an operation, or says how it fails instead.
  int note(FileOperation operation) {
    const std::lock_guard guard(mutex);
    if (operation.kind == FileOperation::Kind::sync && std::exchange(fails_next_sync, false)) {
      return SQLITE_IOERR_FSYNC;
    }
    if (operations.size() == failing) {
      if (failure != RecordingVfs::Failure::read_only) failing = std::numeric_limits<std::size_t>::max();
      if (failure == RecordingVfs::Failure::disk_full) return SQLITE_FULL;
      return operation.kind == FileOperation::Kind::sync ? SQLITE_IOERR_FSYNC : SQLITE_IOERR_WRITE;
    }
    operations.push_back(std::move(operation));
    return SQLITE_OK;
  }
};

Recorder& recorder() {
  static Recorder one;
  return one;
}

sqlite3_vfs* real_vfs = nullptr;

struct File {
  sqlite3_file base;
  std::string* path;  ///< null for temporary files, which nobody records
  sqlite3_file* real;
};

File& self(sqlite3_file* file) {
  return *reinterpret_cast<File*>(file);
}
sqlite3_file* real(sqlite3_file* file) {
  return self(file).real;
}

int note(sqlite3_file* file, FileOperation::Kind kind, std::int64_t offset, std::string bytes) {
  if (self(file).path == nullptr) return SQLITE_OK;
  return recorder().note({kind, *self(file).path, offset, std::move(bytes)});
}

int close_file(sqlite3_file* file) {
  const int code = real(file)->pMethods->xClose(real(file));
  delete self(file).path;
  return code;
}
int read_file(sqlite3_file* file, void* into, int size, sqlite3_int64 offset) {
  return real(file)->pMethods->xRead(real(file), into, size, offset);
}
int write_file(sqlite3_file* file, const void* from, int size, sqlite3_int64 offset) {
  std::string bytes(static_cast<const char*>(from), static_cast<std::size_t>(size));
  const int code = note(file, FileOperation::Kind::write, offset, std::move(bytes));
  return code != SQLITE_OK ? code : real(file)->pMethods->xWrite(real(file), from, size, offset);
}
int truncate_file(sqlite3_file* file, sqlite3_int64 size) {
  const int code = note(file, FileOperation::Kind::truncate, size, {});
  return code != SQLITE_OK ? code : real(file)->pMethods->xTruncate(real(file), size);
}
int sync_file(sqlite3_file* file, int) {
  // The real sync is left out: these tests cut the power on paper, and the files live no longer than the
  // test.
  return note(file, FileOperation::Kind::sync, 0, {});
}
int size_of_file(sqlite3_file* file, sqlite3_int64* size) {
  return real(file)->pMethods->xFileSize(real(file), size);
}
int lock_file(sqlite3_file* file, int level) {
  return real(file)->pMethods->xLock(real(file), level);
}
int unlock_file(sqlite3_file* file, int level) {
  return real(file)->pMethods->xUnlock(real(file), level);
}
int is_reserved(sqlite3_file* file, int* result) {
  return real(file)->pMethods->xCheckReservedLock(real(file), result);
}
int control(sqlite3_file* file, int operation, void* argument) {
  return real(file)->pMethods->xFileControl(real(file), operation, argument);
}
int sector_size(sqlite3_file* file) {
  return real(file)->pMethods->xSectorSize(real(file));
}
/// No promise of the disk is passed on: neither that writes are atomic nor that they keep their order.
int characteristics(sqlite3_file*) {
  return 0;
}
int map_shared(sqlite3_file* file, int page, int size, int extend, void volatile** address) {
  return real(file)->pMethods->xShmMap(real(file), page, size, extend, address);
}
int lock_shared(sqlite3_file* file, int offset, int count, int flags) {
  return real(file)->pMethods->xShmLock(real(file), offset, count, flags);
}
void barrier(sqlite3_file* file) {
  real(file)->pMethods->xShmBarrier(real(file));
}
int unmap_shared(sqlite3_file* file, int is_last) {
  return real(file)->pMethods->xShmUnmap(real(file), is_last);
}

const sqlite3_io_methods methods = {2,         close_file,   read_file,       write_file,  truncate_file,
                                    sync_file, size_of_file, lock_file,       unlock_file, is_reserved,
                                    control,   sector_size,  characteristics, map_shared,  lock_shared,
                                    barrier,   unmap_shared, nullptr,         nullptr};

int open_file(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* out_flags) {
  File& opened = *new (file) File{};
  opened.real = reinterpret_cast<sqlite3_file*>(&opened + 1);
  const int code = real_vfs->xOpen(real_vfs, name, opened.real, flags, out_flags);
  if (code != SQLITE_OK) return code;
  opened.base.pMethods = &methods;
  if (name != nullptr) opened.path = new std::string(name);
  return code;
}

int delete_file(sqlite3_vfs*, const char* name, int sync_folder) {
  recorder().note({FileOperation::Kind::remove, name, 0, {}});
  return real_vfs->xDelete(real_vfs, name, sync_folder);
}

sqlite3_vfs recording_vfs{};

/// One operation on the content of a disk.
void apply(std::string& content, const FileOperation& operation, std::size_t bytes) {
  const auto offset = static_cast<std::size_t>(operation.offset);
  if (operation.kind == FileOperation::Kind::truncate) content.resize(offset);
  if (operation.kind != FileOperation::Kind::write) return;
  content.resize(std::max(content.size(), offset + bytes));
  content.replace(offset, bytes, operation.bytes, 0, bytes);
}

}  // namespace

std::map<std::string, std::string> disk_after(const std::vector<FileOperation>& operations, std::size_t count,
                                              Unsynced unsynced) {
  std::map<std::string, std::string> disk;
  std::map<std::string, std::vector<FileOperation>> waiting;
  for (std::size_t i = 0; i < count; ++i) {
    const FileOperation& operation = operations[i];
    std::vector<FileOperation>& of_file = waiting[operation.path];
    if (operation.kind == FileOperation::Kind::remove) {
      of_file.clear();
      disk.erase(operation.path);
    } else if (operation.kind == FileOperation::Kind::sync) {
      for (const FileOperation& done : of_file) apply(disk[done.path], done, done.bytes.size());
      of_file.clear();
    } else {
      of_file.push_back(operation);
    }
  }
  if (unsynced == Unsynced::lost) return disk;
  for (const auto& [path, of_file] : waiting) {
    for (std::size_t i = 0; i < of_file.size(); ++i) {
      if (unsynced == Unsynced::reordered && i % 2 == 0) continue;
      const bool is_torn = unsynced == Unsynced::torn && i + 1 == of_file.size();
      apply(disk[path], of_file[i], of_file[i].bytes.size() / (is_torn ? 2 : 1));
    }
  }
  return disk;
}

RecordingVfs::RecordingVfs() {
  recorder().operations.clear();
  recorder().failing = std::numeric_limits<std::size_t>::max();
  recorder().fails_next_sync = false;
  real_vfs = sqlite3_vfs_find(nullptr);
  recording_vfs = *real_vfs;
  recording_vfs.zName = "recording";
  recording_vfs.szOsFile = static_cast<int>(sizeof(File)) + real_vfs->szOsFile;
  recording_vfs.xOpen = open_file;
  recording_vfs.xDelete = delete_file;
  sqlite3_vfs_register(&recording_vfs, 1);
}

RecordingVfs::~RecordingVfs() {
  sqlite3_vfs_unregister(&recording_vfs);
  sqlite3_vfs_register(real_vfs, 1);
}

std::vector<FileOperation> RecordingVfs::operations() const {
  const std::lock_guard guard(recorder().mutex);
  return recorder().operations;
}

std::size_t RecordingVfs::count() const {
  const std::lock_guard guard(recorder().mutex);
  return recorder().operations.size();
}

void RecordingVfs::fail_at(std::size_t index, Failure failure) {
  const std::lock_guard guard(recorder().mutex);
  recorder().failing = index;
  recorder().failure = failure;
}

void RecordingVfs::fail_next_sync() {
  const std::lock_guard guard(recorder().mutex);
  recorder().fails_next_sync = true;
}

}  // namespace leadwright
