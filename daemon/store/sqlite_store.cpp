// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/sqlite_store.h"

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <deque>
#include <filesystem>
#include <mutex>
#include <thread>
#include <utility>

#include "daemon/store/lock_file.h"
#include "daemon/store/records.h"
#include "daemon/store/sqlite_open.h"

namespace leadwright {

namespace {

/// The log is emptied when the store is idle beyond the first figure, and in any case beyond the second
/// (pages of 4 KiB). A checkpoint costs syncs of its own, so not after every commit.
constexpr int wal_pages_when_idle = 1000;
constexpr int wal_pages_max = 8000;
/// A log that still holds what was erased is tried again after this.
constexpr std::chrono::seconds try_again_every{1};

using Done = std::function<void(Result<void>)>;

struct Pending {
  Batch batch;
  Done done;
};

struct Acknowledgement {
  Done done;
  Result<void> result;
};

bool erases(const Pending& pending) {
  return std::ranges::any_of(pending.batch, [](const Record& record) {
    if (const auto* photo = std::get_if<Photo>(&record)) return photo->bytes == 0;
    const auto* person = std::get_if<Person>(&record);
    return person != nullptr && person->is_erased();
  });
}

}  // namespace

class SqliteStore::Work {
 public:
  Work(StoreOptions options, Loop& control, LockFile lock, Database database)
      : options_(std::move(options)),
        control_(control),
        lock_(std::move(lock)),
        database_(std::move(database)),
        wal_(database_) {}
  Work(const Work&) = delete;
  Work& operator=(const Work&) = delete;
  ~Work() {
    {
      const std::lock_guard guard(mutex_);
      is_ending_ = true;
    }
    wake_.notify_one();
    if (thread_.joinable()) thread_.join();
  }

  Result<void> start() {
    auto writer = RecordWriter::prepare(database_);
    if (!writer) return pass(writer);
    writer_ = std::move(*writer);
    thread_ = std::thread([this] { work(); });
    return {};
  }

  Result<StoredBench> load() {
    // A connection of its own: the writing one belongs to the store's thread.
    auto reader = Database::open(database_.path(), Database::Access::read_only);
    if (!reader) return pass(reader);
    const auto begun = reader->execute("BEGIN");
    if (!begun) return tl::unexpected<Error>(begun.error());
    auto bench = load_bench(*reader);
    if (!bench) return bench;
    auto answers = load_answers(*reader);
    if (!answers) return pass(answers);
    bench->answers = std::move(*answers);
    return bench;
  }

  void write(Batch batch, Done done) {
    {
      const std::lock_guard guard(mutex_);
      if (backlog_ < options_.batches_max) {
        ++backlog_;
        waiting_.push_back({std::move(batch), std::move(done)});
        wake_.notify_one();
        return;
      }
    }
    if (!done) return;
    control_.post([done = std::move(done)] {
      done(fail(Errc::busy, "the store's queue is full", {}, "check the disk: it does not keep up"));
    });
  }

  std::size_t backlog() const {
    const std::lock_guard guard(mutex_);
    return backlog_;
  }

  const std::string& path() const { return database_.path(); }

 private:
  void work() {
    for (;;) {
      std::deque<Pending> group = take();
      if (group.empty()) {
        clear_log();
        if (is_over()) break;
        continue;
      }
      std::vector<Acknowledgement> answers = commit(group);
      clear_log();
      {
        const std::lock_guard guard(mutex_);
        backlog_ -= group.size();
      }
      acknowledge(std::move(answers));
      tend_log();
    }
    writer_.reset();
    checkpoint(database_, true);
  }

  bool is_over() const {
    const std::lock_guard guard(mutex_);
    return is_ending_ && waiting_.empty();
  }

  /// Waits for work; empty at the end, and where the log is still to be emptied.
  std::deque<Pending> take() {
    std::unique_lock lock(mutex_);
    const auto is_due = [this] { return is_ending_ || !waiting_.empty(); };
    if (holds_erased_) {
      wake_.wait_for(lock, try_again_every, is_due);
    } else {
      wake_.wait(lock, is_due);
    }
    return std::exchange(waiting_, {});
  }

  /// Pages of before an erasure stay in the log until it is emptied, which waits for readers.
  void clear_log() {
    if (!holds_erased_ || !checkpoint(database_, true)) return;
    holds_erased_ = false;
    wal_.emptied();
  }

  /// One transaction for the whole group, one savepoint for each batch: a batch that fails does not take its
  /// neighbours with it.
  std::vector<Acknowledgement> commit(std::deque<Pending>& group) {
    std::vector<Acknowledgement> answers;
    answers.reserve(group.size());
    for (Pending& pending : group) answers.push_back({std::move(pending.done), {}});
    Result<void> whole = is_disk_lost_ ? lost() : database_.execute("BEGIN IMMEDIATE");
    for (std::size_t i = 0; whole && i < group.size(); ++i) {
      answers[i].result = write_batch(group[i].batch);
      // A full or failing disk may have ended the transaction, and the savepoints with it.
      const bool ends_all = !answers[i].result && answers[i].result.error().code == Errc::io;
      if (ends_all) whole = answers[i].result;
    }
    if (whole) {
      whole = database_.execute("COMMIT");
      note(whole);
      holds_erased_ |= whole.has_value() && std::ranges::any_of(group, erases);
    }
    if (!whole) {
      static_cast<void>(database_.execute("ROLLBACK"));
      for (Acknowledgement& answer : answers) answer.result = whole;
    }
    return answers;
  }

  Result<void> write_batch(const Batch& batch) {
    auto result = database_.execute("SAVEPOINT batch");
    for (const Record& record : batch) {
      if (!result) break;
      result = writer_->write(record);
    }
    if (result) result = database_.execute("RELEASE batch");
    if (result) return result;
    note(result);
    static_cast<void>(database_.execute("ROLLBACK TO batch; RELEASE batch"));
    return result;
  }

  /// A sync may fail once and report success later: after any failure but a full disk nothing is believed.
  void note(const Result<void>& result) {
    if (!result && result.error().code == Errc::io && !database_.is_full()) is_disk_lost_ = true;
  }

  Result<void> lost() const {
    return fail(Errc::io, "the disk failed to keep an earlier write, so nothing more is written", path(),
                "check the disk, then start the daemon again");
  }

  void acknowledge(std::vector<Acknowledgement> answers) {
    control_.post([answers = std::move(answers)] {
      for (const Acknowledgement& answer : answers) {
        if (answer.done) answer.done(answer.result);
      }
    });
  }

  void tend_log() {
    if (wal_.pages() < wal_pages_when_idle) return;
    const bool is_long = wal_.pages() >= wal_pages_max;
    if (!is_long) {
      const std::lock_guard guard(mutex_);
      if (!waiting_.empty()) return;
    }
    // A reader may hold some of it back; the next commit tries again.
    if (checkpoint(database_, is_long)) wal_.emptied();
  }

  const StoreOptions options_;
  Loop& control_;
  LockFile lock_;
  Database database_;
  WalWatch wal_;
  std::optional<RecordWriter> writer_;
  bool is_disk_lost_ = false;
  bool holds_erased_ = false;  ///< the log, of what was erased

  mutable std::mutex mutex_;
  std::condition_variable wake_;
  std::deque<Pending> waiting_;
  std::size_t backlog_ = 0;
  bool is_ending_ = false;
  std::thread thread_;
};

std::string database_path(const std::string& folder) {
  return folder + "/leadwright.sqlite";
}

Result<std::unique_ptr<SqliteStore>> SqliteStore::open(StoreOptions options, Loop& control) {
  std::error_code failed;
  std::filesystem::create_directories(options.folder, failed);
  if (failed) {
    return fail(Errc::io, "can't make the state folder: " + failed.message(), options.folder,
                "name another with --state, or make it for the user of the daemon");
  }
  auto lock = LockFile::take(options.folder + "/leadwright.lock");
  if (!lock) return pass(lock);
  auto database = open_for_writing(options);
  if (!database) return pass(database);
  auto work = std::make_unique<Work>(std::move(options), control, std::move(*lock), std::move(*database));
  const auto started = work->start();
  if (!started) return tl::unexpected<Error>(started.error());
  return std::unique_ptr<SqliteStore>(new SqliteStore(std::move(work)));
}

SqliteStore::SqliteStore(std::unique_ptr<Work> work) : work_(std::move(work)) {}
SqliteStore::~SqliteStore() = default;
Result<StoredBench> SqliteStore::load() {
  return work_->load();
}
void SqliteStore::write(Batch batch, std::function<void(Result<void>)> done) {
  work_->write(std::move(batch), std::move(done));
}
std::size_t SqliteStore::backlog() const {
  return work_->backlog();
}
const std::string& SqliteStore::path() const {
  return work_->path();
}

}  // namespace leadwright
