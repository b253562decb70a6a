// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/memory_store.h"

#include <gmock/gmock.h>

#include "daemon/clock/virtual_clock.h"
#include "daemon/store/history.h"
#include "daemon/store/json.h"
#include "tests/store/store_world.h"

namespace leadwright {
namespace {

using ::testing::ElementsAre;
using ::testing::SizeIs;

class MemoryStoreTest : public ::testing::Test {
 protected:
  Result<void> write(MemoryStore& store, Batch batch) {
    std::optional<Result<void>> answer;
    store.write(std::move(batch), [&](Result<void> result) { answer = std::move(result); });
    EXPECT_FALSE(answer);
    EXPECT_TRUE(clock_.run_until([&] { return answer.has_value(); }));
    return *answer;
  }
  VirtualClock clock_;
};

TEST_F(MemoryStoreTest, loads_the_same_as_the_store_on_disk) {
  MemoryStore memory(clock_);
  const TempFolder folder;
  QueueLoop loop;
  const auto disk = open_store(folder.path(), loop);
  Ticket closed = example_ticket(2);
  closed.previous = TicketId{1};
  closed.state = TicketState::closed;
  closed.closing = Closing::resold;
  auto of_closed = example_run(2);
  of_closed.ticket = TicketId{2};
  of_closed.outcome = RunOutcome::complete;
  const std::vector<Batch> batches{
      example_visit(),
      {closed, of_closed, example_finding(), example_fault(), example_grade()},
      {PlaceRecord{"bay-2", true, ""}, PlaceRecord{"bay-1", false, "trip"}, example_audit()},
      {example_override(2), example_override(1), example_override(2)},
      {example_photo("before"), example_photo("after it")},
      {TraceBlock{RunId{1}, 0, example_samples()}}};
  for (const Batch& batch : batches) {
    ASSERT_TRUE(write(memory, batch));
    ASSERT_TRUE(write_now(*disk, loop, batch));
  }
  const StoredBench a = memory.load().value();
  const StoredBench b = disk->load().value();
  const auto text = [](const StoredBench& bench) {
    std::string all;
    for (const auto& each : bench.batteries) all += to_json(each);
    for (const auto& each : bench.tickets) all += to_json(each);
    for (const auto& each : bench.runs) all += to_json(each);
    for (const auto& each : bench.findings) all += to_json(each);
    for (const auto& each : bench.faults) all += to_json(each);
    for (const auto& each : bench.grades) all += to_json(each);
    for (const auto& each : bench.overrides) all += to_json(each);
    for (const auto& each : bench.photos) all += to_json(each) + each.jpeg;
    for (const auto& each : bench.places) all += each.name + each.latched_trip;
    return all + std::to_string(bench.last_battery) + std::to_string(bench.last_ticket) +
           std::to_string(bench.last_run) + std::to_string(bench.last_photo);
  };
  EXPECT_EQ(text(a), text(b));
  for (const TicketId id : {TicketId{1}, TicketId{2}, TicketId{3}}) {
    const auto on_disk = open_history(disk->path()).value()->visit(id);
    EXPECT_EQ(text(memory.visit(id).value()), text(on_disk.value())) << static_cast<int>(id);
  }
  EXPECT_THAT(a.runs, SizeIs(1));
  EXPECT_THAT(memory.trace(RunId{1}).value(), SizeIs(100));
  EXPECT_THAT(memory.audit_of("T-000001-9").value(), SizeIs(1));
  EXPECT_THAT(memory.closed_tickets(5).value(), SizeIs(1));
}

TEST_F(MemoryStoreTest, takes_a_latency_from_its_seed) {
  StorePlan plan;
  plan.seed = 9;
  const auto durations = [&] {
    MemoryStore store(clock_, plan);
    std::vector<std::int64_t> all;
    for (int i = 0; i < 20; ++i) {
      const Instant before = clock_.now();
      EXPECT_TRUE(write(store, {example_audit(i)}));
      all.push_back(clock_.now().ns() - before.ns());
    }
    return all;
  };
  const auto first = durations();
  EXPECT_EQ(first, durations());
  for (const std::int64_t ns : first) {
    EXPECT_GE(ns, as_ns(plan.latency_min) - 1);
    EXPECT_LE(ns, as_ns(plan.latency_max) + 1);
  }
  plan.seed = 10;
  EXPECT_NE(first, durations());
}

TEST_F(MemoryStoreTest, loses_what_was_not_acknowledged_when_power_is_cut) {
  MemoryStore store(clock_);
  ASSERT_TRUE(write(store, example_visit()));
  bool is_answered = false;
  store.write({example_fault()}, [&](const Result<void>&) { is_answered = true; });
  EXPECT_EQ(store.backlog(), 1U);
  store.power_cut();
  clock_.run_for(Second(60.0));
  EXPECT_FALSE(is_answered);
  EXPECT_EQ(store.backlog(), 0U);
  EXPECT_THAT(store.load()->tickets, SizeIs(1));
  EXPECT_TRUE(store.load()->faults.empty());
  EXPECT_TRUE(write(store, {example_fault()}));
  EXPECT_THAT(store.load()->faults, SizeIs(1));
}

TEST_F(MemoryStoreTest, fails_by_plan_and_keeps_nothing_of_it) {
  StorePlan plan;
  plan.fail_share = 1.0;
  MemoryStore store(clock_, plan);
  const auto failed = write(store, example_visit());
  ASSERT_FALSE(failed);
  EXPECT_EQ(failed.error().code, Errc::io);
  EXPECT_TRUE(store.load()->tickets.empty());
  store.change_plan({});
  EXPECT_TRUE(write(store, example_visit()));
}

TEST_F(MemoryStoreTest, stalls_by_plan_and_keeps_the_order) {
  StorePlan plan;
  plan.stall_share = 1.0;
  MemoryStore store(clock_, plan);
  std::vector<int> order;
  store.write({example_audit(1)}, [&](const Result<void>&) { order.push_back(1); });
  store.change_plan({});
  store.write({example_audit(2)}, [&](const Result<void>&) { order.push_back(2); });
  clock_.run_for(plan.stall);
  EXPECT_TRUE(order.empty());
  clock_.run_for(Second(1.0));
  EXPECT_THAT(order, ElementsAre(1, 2));
}

TEST_F(MemoryStoreTest, says_busy_when_its_queue_is_full) {
  StorePlan plan;
  plan.batches_max = 1;
  MemoryStore store(clock_, plan);
  std::vector<Errc> failures;
  const auto note = [&](const Result<void>& result) {
    if (!result) failures.push_back(result.error().code);
  };
  store.write({example_audit(1)}, note);
  store.write({example_audit(2)}, note);
  clock_.run_for(Second(1.0));
  EXPECT_THAT(failures, ElementsAre(Errc::busy));
  EXPECT_THAT(store.audit(), SizeIs(1));
}

TEST_F(MemoryStoreTest, refuses_a_reference_to_nothing_as_the_disk_does) {
  MemoryStore store(clock_);
  EXPECT_EQ(write(store, {example_fault()}).error().code, Errc::bug);
  EXPECT_EQ(write(store, {example_ticket(), example_battery()}).error().code, Errc::bug);
  EXPECT_TRUE(write(store, {example_battery(), example_ticket()}));
}

}  // namespace
}  // namespace leadwright
