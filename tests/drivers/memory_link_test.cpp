// SPDX-License-Identifier: Apache-2.0
#include "drivers/memory_link.h"

#include <gmock/gmock.h>

#include <array>

#include "world.h"

namespace leadwright {
namespace {

using testing::ElementsAre;

/// Sends back whatever it receives.
struct Echo final : MemoryDevice {
  void receive(std::string_view bytes, MemoryPort& port) override { port.deliver(bytes, delay); }
  Second delay{0.0};
};

struct MemoryLinkTest : testing::Test {
  VirtualClock clock;
  Echo echo;

  std::string exchange(MemoryLink& link, std::string_view bytes, Second time = Second(0.1)) {
    std::string result;
    const Job job(clock.loop(), talk(clock, link, bytes, clock.now() + time, result));
    clock.run_for(time);
    return result;
  }
  static Task<void> talk(Clock&, MemoryLink& link, std::string_view bytes, Instant until,
                         std::string& result) {
    if (!link.is_open()) co_await link.open(until);
    const Result<void> written = co_await link.write(bytes, until);
    if (!written) co_return;
    while (true) {
      std::array<char, 64> piece;
      const Result<std::size_t> count = co_await link.read(piece, until);
      if (!count) co_return;
      result.append(piece.data(), *count);
    }
  }
};

TEST_F(MemoryLinkTest, answers_before_the_write_returns) {
  MemoryLink link("memory:x", clock, echo);
  std::string result;
  const Job job(clock.loop(), talk(clock, link, "hello", Instant(1000), result));
  EXPECT_EQ(result, "hello") << "no event of the clock was needed";
}

TEST_F(MemoryLinkTest, delivers_late_bytes_when_they_are_due_and_in_order) {
  MemoryLink link("memory:x", clock, echo);
  echo.delay = Second(0.05);
  std::string result;
  const Job job(clock.loop(), talk(clock, link, "slow", Instant(1'000'000'000), result));
  echo.delay = Second(0.0);
  link.urgent("fast");
  clock.run_for(Second(0.049));
  EXPECT_EQ(result, "");
  clock.run_for(Second(0.001));
  EXPECT_EQ(result, "slowfast");
}

TEST_F(MemoryLinkTest, gives_the_same_faults_for_the_same_seed) {
  FaultPlan plan;
  plan.drop = plan.flip = plan.duplicate = plan.split = plan.delay = 0.2;
  plan.delay_max = Second(0.05);
  std::vector<std::string> worlds;
  for (const std::uint64_t seed : {7U, 7U, 8U}) {
    plan.seed = seed;
    MemoryLink link("memory:x", clock, echo, plan);
    std::string world;
    for (int i = 0; i < 50; ++i) world += exchange(link, "0123456789") + "|";
    worlds.push_back(world);
  }
  EXPECT_EQ(worlds[0], worlds[1]);
  EXPECT_NE(worlds[0], worlds[2]);
}

TEST_F(MemoryLinkTest, drops_everything_where_told_so) {
  FaultPlan plan;
  plan.drop = 1.0;
  MemoryLink link("memory:x", clock, echo, plan);
  EXPECT_EQ(exchange(link, "hello"), "");
}

TEST_F(MemoryLinkTest, splits_an_answer_without_losing_a_byte) {
  FaultPlan plan;
  plan.split = 1.0;
  MemoryLink link("memory:x", clock, echo, plan);
  EXPECT_EQ(exchange(link, "hello"), "hello");
}

TEST_F(MemoryLinkTest, changes_exactly_one_bit_in_each_direction) {
  FaultPlan plan;
  plan.flip = 1.0;
  MemoryLink link("memory:x", clock, echo, plan);
  const std::string sent = "aaaaaaaa";
  const std::string got = exchange(link, sent);
  ASSERT_EQ(got.size(), sent.size());
  int changed = 0;
  for (std::size_t i = 0; i < sent.size(); ++i)
    changed += __builtin_popcount(static_cast<unsigned>(sent[i] ^ got[i]));
  EXPECT_TRUE(changed == 2 || changed == 0) << changed;
}

TEST_F(MemoryLinkTest, stays_silent_for_the_time_of_a_stall) {
  FaultPlan plan;
  plan.stall = 1.0;
  MemoryLink link("memory:x", clock, echo, plan);
  EXPECT_EQ(exchange(link, "a"), "");
  EXPECT_EQ(exchange(link, "b"), "");
}

TEST_F(MemoryLinkTest, cannot_be_opened_for_the_time_it_is_unplugged) {
  FaultPlan plan;
  plan.unplug = 1.0;
  plan.unplug_time = Second(5.0);
  MemoryLink link("memory:x", clock, echo, plan);
  EXPECT_EQ(exchange(link, "a"), "");
  EXPECT_FALSE(link.is_open());
  std::optional<Result<void>> result;
  const Job early(clock.loop(), keep(link.open(Instant::never()), result));
  ASSERT_FALSE(*result);
  EXPECT_EQ(result->error().code, Errc::not_found);
  clock.run_for(Second(5.0));
  const Job late(clock.loop(), keep(link.open(Instant::never()), result));
  EXPECT_TRUE(*result);
}

TEST_F(MemoryLinkTest, ends_a_pending_read_when_it_is_closed) {
  MemoryLink link("memory:x", clock, echo);
  const auto open = [&] {
    std::optional<Result<void>> opened;
    const Job job(clock.loop(), keep(link.open(Instant::never()), opened));
  };
  open();
  std::array<char, 8> into;
  std::optional<Result<std::size_t>> result;
  const Job job(clock.loop(), keep(link.read(into, Instant::never()), result));
  EXPECT_FALSE(result);
  link.close();
  clock.run_for(Second(0.0));
  ASSERT_TRUE(result);
  EXPECT_EQ(result->error().code, Errc::link_lost);
}

TEST_F(MemoryLinkTest, tells_the_tap_what_crosses_and_in_which_direction) {
  MemoryLink link("memory:x", clock, echo);
  std::vector<std::string> heard;
  link.tap = [&heard](const std::string& name, bool outward, std::string_view bytes, Instant) {
    heard.push_back(name + (outward ? " > " : " < ") + std::string(bytes));
  };
  exchange(link, "hi");
  EXPECT_THAT(heard, ElementsAre("memory:x > hi", "memory:x < hi"));
}

TEST_F(MemoryLinkTest, factory_finds_devices_by_name) {
  MemoryLinkFactory factory(clock);
  factory.add("bay-1.load", echo);
  EXPECT_TRUE(factory.make({LinkAddress::Kind::memory, "bay-1.load"}, {}));
  const auto unknown = factory.make({LinkAddress::Kind::memory, "bay-2.load"}, {});
  ASSERT_FALSE(unknown);
  EXPECT_EQ(unknown.error().code, Errc::not_found);
  EXPECT_FALSE(factory.make({LinkAddress::Kind::serial, "/dev/x"}, {}));
}

}  // namespace
}  // namespace leadwright
