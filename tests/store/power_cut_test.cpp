// SPDX-License-Identifier: Apache-2.0
// A fixed day of work is recorded below SQLite; then the power goes after every single file operation, in
// four ways (what was not synced is lost, kept, torn or reordered), and what had been acknowledged must be
// there. The same day is then lived with the n-th operation failing, for every n.
#include <gmock/gmock.h>

#include <fstream>

#include "daemon/store/audit.h"
#include "tests/store/recording_vfs.h"
#include "tests/store/store_world.h"

namespace leadwright {
namespace {

constexpr int batches_in_a_day = 6;

/// Batch `number` of the day: from what is stored it can be told that all of it is there.
Batch batch_of_day(int number) {
  Ticket ticket = example_ticket(number);
  Batch batch;
  if (number == 1) batch = {example_battery()};
  Run run = example_run(number);
  run.ticket = ticket.id;
  batch.insert(batch.end(),
               {ticket, run, example_audit(number), TraceBlock{run.id, 0, example_samples(200 * number)}});
  return batch;
}

struct Day {
  std::vector<std::size_t> acknowledged_after;  ///< operations done when batch i + 1 was acknowledged
  std::vector<Errc> failures;
  bool has_opened = true;
};

/// Two lives of a daemon on one folder, half of the batches each.
Day live_a_day(const std::string& folder, const RecordingVfs& vfs) {
  Day day;
  for (int half = 0; half < 2; ++half) {
    QueueLoop loop;
    StoreOptions options;
    options.folder = folder;
    options.simulated = true;
    const auto store = SqliteStore::open(options, loop);
    if (!store) {
      day.has_opened = false;
      day.failures.push_back(store.error().code);
      continue;
    }
    for (int i = 0; i < batches_in_a_day / 2; ++i) {
      // A batch that failed is not tried again, and those after it get the next free numbers.
      const int number = static_cast<int>(day.acknowledged_after.size()) + 1;
      const auto written = write_now(**store, loop, batch_of_day(number));
      if (written) {
        day.acknowledged_after.push_back(vfs.count());
      } else {
        day.failures.push_back(written.error().code);
      }
    }
  }
  return day;
}

/// How many batches of a day a folder holds, each of them whole; less than zero if something is wrong.
int batches_in(const std::string& folder) {
  const RecordingVfs without_real_syncs;
  QueueLoop loop;
  const auto store = open_store(folder, loop);
  const auto bench = store->load();
  EXPECT_TRUE(bench) << bench.error().line();
  if (!bench) return -1;
  const auto proof = verify_audit(store->path());
  EXPECT_TRUE(proof) << proof.error().line();
  const std::size_t batches = bench->tickets.size();
  EXPECT_EQ(bench->runs.size(), batches);
  EXPECT_EQ(proof->rows, static_cast<std::int64_t>(batches));
  return static_cast<int>(batches);
}

void make_disk(const std::string& folder, const std::map<std::string, std::string>& disk) {
  for (const auto& [path, content] : disk) {
    const std::string name = std::filesystem::path(path).filename().string();
    std::ofstream(folder + "/" + name, std::ios::binary) << content;
  }
}

TEST(PowerCut, keeps_every_acknowledged_write_whenever_and_however_the_power_goes) {
  std::vector<FileOperation> operations;
  Day day;
  {
    const RecordingVfs vfs;
    const TempFolder folder;
    day = live_a_day(folder.path(), vfs);
    operations = vfs.operations();
  }
  ASSERT_EQ(day.acknowledged_after.size(), static_cast<std::size_t>(batches_in_a_day));
  ASSERT_GT(operations.size(), 100U);
  for (std::size_t cut = 0; cut <= operations.size(); ++cut) {
    const auto acknowledged = std::count_if(day.acknowledged_after.begin(), day.acknowledged_after.end(),
                                            [&](std::size_t count) { return count <= cut; });
    for (const Unsynced way : {Unsynced::lost, Unsynced::kept, Unsynced::torn, Unsynced::reordered}) {
      const TempFolder folder;
      make_disk(folder.path(), disk_after(operations, cut, way));
      SCOPED_TRACE("cut after " + std::to_string(cut) + " of " + std::to_string(operations.size()) +
                   ", way " + std::to_string(static_cast<int>(way)));
      ASSERT_GE(batches_in(folder.path()), acknowledged);
      ASSERT_FALSE(::testing::Test::HasFailure());
    }
  }
}

class FailingDisk : public ::testing::TestWithParam<RecordingVfs::Failure> {};

TEST_P(FailingDisk, loses_nothing_acknowledged_whichever_operation_fails) {
  std::size_t operations = 0;
  {
    const RecordingVfs vfs;
    const TempFolder folder;
    ASSERT_TRUE(live_a_day(folder.path(), vfs).failures.empty());
    operations = vfs.count();
  }
  for (std::size_t failing = 0; failing <= operations; ++failing) {
    SCOPED_TRACE("operation " + std::to_string(failing));
    const TempFolder folder;
    Day day;
    {
      RecordingVfs vfs;
      vfs.fail_at(failing, GetParam());
      day = live_a_day(folder.path(), vfs);
      operations = std::max(operations, vfs.count());
    }
    const auto acknowledged = static_cast<int>(day.acknowledged_after.size());
    ASSERT_GE(batches_in(folder.path()), acknowledged);
    ASSERT_FALSE(::testing::Test::HasFailure());
    for (const Errc code : day.failures) EXPECT_EQ(code, Errc::io);
    EXPECT_EQ(day.failures.empty(), acknowledged == batches_in_a_day) << "what was not kept was refused";
    if (GetParam() == RecordingVfs::Failure::disk_full && day.has_opened) {
      EXPECT_LE(day.failures.size(), 1U) << "a full disk fails the batch that meets it, and no other";
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Ways, FailingDisk,
                         ::testing::Values(RecordingVfs::Failure::input_output,
                                           RecordingVfs::Failure::disk_full,
                                           RecordingVfs::Failure::read_only),
                         [](const auto& each) {
                           switch (each.param) {
                             case RecordingVfs::Failure::disk_full:
                               return "disk_full";
                             case RecordingVfs::Failure::read_only:
                               return "read_only";
                             default:
                               return "input_output";
                           }
                         });

TEST(PowerCut, believes_nothing_after_a_sync_that_failed) {
  RecordingVfs vfs;
  const TempFolder folder;
  QueueLoop loop;
  const auto store = open_store(folder.path(), loop);
  ASSERT_TRUE(write_now(*store, loop, batch_of_day(1)));
  vfs.fail_next_sync();
  EXPECT_EQ(write_now(*store, loop, batch_of_day(2)).error().code, Errc::io);
  const auto later = write_now(*store, loop, batch_of_day(2));
  ASSERT_FALSE(later);
  EXPECT_THAT(later.error().what, ::testing::HasSubstr("nothing more is written"));
}

}  // namespace
}  // namespace leadwright
