// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/unsaved.h"

#include <gtest/gtest.h>

#include "daemon/clock/virtual_clock.h"
#include "daemon/store/memory_store.h"

namespace leadwright {
namespace {

struct UnsavedTest : testing::Test {
  VirtualClock clock;
  MemoryStore store{clock, failing()};
  Ledger ledger;
  Unsaved unsaved{ledger, clock, store};
  int saved = 0;
  std::size_t lost_when_saved = 0;

  void SetUp() override {
    unsaved.trip_of = [](const std::string&) { return std::string("still tripped"); };
    unsaved.on_saved = [this] {
      ++saved;
      lost_when_saved = unsaved.rows_lost();
    };
  }
  static StorePlan failing() {
    StorePlan plan;
    plan.fail_share = 1.0;
    return plan;
  }
  void disk_is_well() { store.change_plan(StorePlan{}); }
  static Batch row(int number) {
    Batch batch;
    batch.emplace_back(AuditEntry{Utc(number), "somebody", "stop.all", "bench", ""});
    return batch;
  }
};

TEST_F(UnsavedTest, keeps_what_was_refused_for_days_and_writes_all_of_it_in_order) {
  for (int i = 0; i < 100; ++i) unsaved.add(row(i));
  clock.run_for(hours(1.0));
  EXPECT_EQ(unsaved.size(), 100U);
  disk_is_well();
  clock.run_for(Second(5.0));
  EXPECT_EQ(saved, 1);
  EXPECT_TRUE(unsaved.empty());
  ASSERT_EQ(store.audit().size(), 100U);
  for (int i = 0; i < 100; ++i) EXPECT_EQ(store.audit()[static_cast<std::size_t>(i)].at, Utc(i));
}

TEST_F(UnsavedTest, a_place_that_changes_again_and_again_waits_once) {
  for (int i = 0; i < 1000; ++i) {
    Batch batch;
    batch.emplace_back(PlaceRecord{"bay-1", false, "trip"});
    unsaved.add(std::move(batch));
  }
  clock.run_for(Second(3.0));
  EXPECT_EQ(unsaved.size(), 1U);
  disk_is_well();
  clock.run_for(Second(5.0));
  ASSERT_EQ(store.load()->places.size(), 1U);
  EXPECT_EQ(store.load()->places[0].latched_trip, "still tripped");
}

TEST_F(UnsavedTest, is_full_long_before_it_drops_a_row_and_then_counts_those) {
  const auto full_at = static_cast<int>(Unsaved::full_at);
  for (int i = 0; i < full_at; ++i) {
    EXPECT_FALSE(unsaved.is_full()) << i;
    unsaved.add(row(i));
  }
  EXPECT_TRUE(unsaved.is_full());
  clock.run_for(Second(3.0));
  EXPECT_TRUE(unsaved.is_full());
  EXPECT_EQ(unsaved.rows_lost(), 0U);
  for (int i = full_at; i < 3 * full_at; ++i) unsaved.add(row(i));
  EXPECT_EQ(unsaved.size(), Unsaved::rows_max);
  EXPECT_EQ(unsaved.rows_lost(), Unsaved::full_at);

  Batch finding;
  finding.emplace_back(PlaceRecord{"bay-1", false, "trip"});
  unsaved.add(std::move(finding));
  EXPECT_EQ(unsaved.size(), Unsaved::rows_max + 1) << "only audit rows are counted instead of kept";

  disk_is_well();
  clock.run_for(Second(5.0));
  EXPECT_EQ(lost_when_saved, Unsaved::full_at);
  EXPECT_EQ(unsaved.rows_lost(), 0U);
  EXPECT_FALSE(unsaved.is_full());
  EXPECT_EQ(store.audit().size(), Unsaved::rows_max);
}

}  // namespace
}  // namespace leadwright
