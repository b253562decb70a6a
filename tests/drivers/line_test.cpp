// SPDX-License-Identifier: Apache-2.0
#include "drivers/line.h"

#include <gmock/gmock.h>

#include <optional>

#include "fake_device.h"
#include "keep.h"
#include "world.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

struct LineWorld : testing::Test {
  VirtualClock clock;
  FakeDevice device;
  std::vector<std::string> order;
  Line line{std::make_unique<MemoryLink>("memory:line", clock, device), clock};

  /// Takes a turn and holds it for a tenth of a second.
  Task<void> user(std::string name, bool energised, Second patience) {
    Result<Line::Turn> turn = co_await line.take(clock.now() + patience, energised);
    order.push_back(turn ? name : turn.error().line());
    if (!turn) co_return;
    const Line::Turn held = std::move(*turn);
    auto hold = clock.sleep_for(Second(0.1));
    co_await hold;
  }
  Job start(const std::string& name, bool energised = false, Second patience = Second(10.0)) {
    return {clock.loop(), user(name, energised, patience)};
  }
};

TEST_F(LineWorld, gives_turns_in_the_order_of_asking) {
  const Job a = start("a");
  const Job b = start("b");
  const Job c = start("c");
  clock.run_for(Second(1.0));
  EXPECT_THAT(order, ElementsAre("a", "b", "c"));
  EXPECT_TRUE(line.is_free());
}

TEST_F(LineWorld, lets_the_energised_pass) {
  const Job a = start("a");
  const Job b = start("b");
  const Job c = start("c", true);
  clock.run_for(Second(1.0));
  EXPECT_THAT(order, ElementsAre("a", "c", "b"));
}

TEST_F(LineWorld, gives_up_at_the_deadline_and_says_why) {
  const Job a = start("a");
  const Job b = start("b", false, Second(0.05));
  clock.run_for(Second(1.0));
  EXPECT_THAT(order, ElementsAre("a", HasSubstr("other instruments keep the line busy")));
}

TEST_F(LineWorld, passes_the_turn_on_when_whoever_waited_is_gone) {
  const Job a = start("a");
  { const Job gone = start("gone"); }
  const Job c = start("c");
  clock.run_for(Second(1.0));
  EXPECT_THAT(order, ElementsAre("a", "c"));
}

TEST_F(LineWorld, never_starves_one_who_waits_behind_one_who_asks_again_at_once) {
  const Job a = start("a");
  const Job b = start("b");
  clock.run_for(Second(0.1));
  const Job again = start("a again");
  const Job c = start("c");
  clock.run_for(Second(1.0));
  EXPECT_THAT(order, ElementsAre("a", "b", "a again", "c"));
}

Task<Result<void>> joined(Line& line, Clock& clock) {
  return line.join(clock.now() + Second(1.0));
}

TEST_F(LineWorld, opens_once_and_closes_with_the_last_user) {
  std::optional<Result<void>> first;
  std::optional<Result<void>> second;
  const Job a(clock.loop(), keep(joined(line, clock), first));
  const Job b(clock.loop(), keep(joined(line, clock), second));
  clock.run_for(Second(0.1));
  ASSERT_TRUE(first && *first && second && *second);
  EXPECT_EQ(line.opening(), 1U);
  line.leave();
  EXPECT_TRUE(line.link().is_open());
  line.leave();
  EXPECT_FALSE(line.link().is_open());
}

TEST_F(LineWorld, sends_urgent_bytes_at_once_where_both_directions_have_wires) {
  std::optional<Result<void>> opened;
  const Job opening(clock.loop(), keep(joined(line, clock), opened));
  const Job a = start("a");
  EXPECT_TRUE(line.urgent("INP OFF\n", false));
  EXPECT_THAT(device.heard, ElementsAre("INP OFF"));
}

TEST_F(LineWorld, sends_urgent_bytes_after_the_exchange_and_before_all_who_wait_on_shared_wires) {
  std::optional<Result<void>> opened;
  const Job opening(clock.loop(), keep(joined(line, clock), opened));
  const Job a = start("a");
  const Job b = start("b");
  EXPECT_TRUE(line.urgent("INP OFF\n", true));
  EXPECT_THAT(device.heard, ElementsAre());
  clock.run_for(Second(0.1));
  EXPECT_THAT(device.heard, ElementsAre("INP OFF"));
  EXPECT_THAT(order, ElementsAre("a", "b"));
}

}  // namespace
}  // namespace leadwright
