// SPDX-License-Identifier: Apache-2.0
#include "daemon/clock/clock.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>
#include <string>

#include "daemon/clock/virtual_clock.h"

namespace leadwright {
namespace {

using testing::ElementsAre;

using Log = std::vector<std::string>;

Task<void> sleep_then_note(Clock& clock, Second time, std::string word, Log& log) {
  auto sleep = clock.sleep_for(time);
  co_await sleep;
  log.push_back(std::move(word));
}

TEST(Clock, resumes_equal_deadlines_in_the_order_of_arming) {
  VirtualClock clock;
  Log log;
  const Job first(clock.loop(), sleep_then_note(clock, Second(1.0), "first", log));
  const Job second(clock.loop(), sleep_then_note(clock, Second(1.0), "second", log));
  const Job earlier(clock.loop(), sleep_then_note(clock, Second(0.5), "earlier", log));
  const Job third(clock.loop(), sleep_then_note(clock, Second(1.0), "third", log));
  clock.run_for(Second(2.0));
  EXPECT_THAT(log, ElementsAre("earlier", "first", "second", "third"));
}

TEST(Clock, sleeps_exactly_as_long_as_asked_under_virtual_time) {
  VirtualClock clock;
  Log log;
  const Job job(clock.loop(), sleep_then_note(clock, Second(3.0), "done", log));
  clock.run_for(Second(2.999));
  EXPECT_FALSE(job.done());
  clock.run_for(Second(0.001));
  EXPECT_TRUE(job.done());
  EXPECT_EQ(clock.now(), Instant(3'000'000'000));
}

Task<void> wait_and_note(Clock& clock, Signal& signal, Second time, Log& log) {
  auto waiting = signal.wait_until(clock.now() + time);
  const bool came = co_await waiting;
  log.push_back(came ? "signal" : "deadline");
}

TEST(Signal, wakes_who_waits_before_the_deadline) {
  VirtualClock clock;
  Signal signal(clock);
  Log log;
  const Job job(clock.loop(), wait_and_note(clock, signal, Second(5.0), log));
  clock.run_for(Second(1.0));
  signal.notify();
  clock.run_for(Second(0.0));
  EXPECT_THAT(log, ElementsAre("signal"));
  EXPECT_TRUE(job.done());
}

TEST(Signal, gives_up_at_the_deadline) {
  VirtualClock clock;
  Signal signal(clock);
  Log log;
  const Job job(clock.loop(), wait_and_note(clock, signal, Second(5.0), log));
  clock.run_for(Second(5.0));
  signal.notify();
  clock.run_for(Second(0.0));
  EXPECT_THAT(log, ElementsAre("deadline"));
}

TEST(Signal, wakes_all_who_wait_in_their_order) {
  VirtualClock clock;
  Signal signal(clock);
  Log log;
  const Job late(clock.loop(), wait_and_note(clock, signal, Second(0.1), log));
  const Job first(clock.loop(), wait_and_note(clock, signal, Second(9.0), log));
  const Job second(clock.loop(), wait_and_note(clock, signal, Second(8.0), log));
  clock.run_for(Second(1.0));
  signal.notify();
  clock.run_for(Second(0.0));
  EXPECT_THAT(log, ElementsAre("deadline", "signal", "signal"));
}

TEST(Signal, has_no_memory) {
  VirtualClock clock;
  Signal signal(clock);
  signal.notify();
  Log log;
  const Job job(clock.loop(), wait_and_note(clock, signal, Second(1.0), log));
  clock.run_for(Second(1.0));
  EXPECT_THAT(log, ElementsAre("deadline"));
}

TEST(Job, leaves_no_timer_behind_when_it_is_destroyed_while_it_waits) {
  VirtualClock clock;
  Log log;
  {
    const Job job(clock.loop(), sleep_then_note(clock, Second(1.0), "ghost", log));
    const Job other(clock.loop(), sleep_then_note(clock, Second(2.0), "ghost", log));
  }
  EXPECT_FALSE(clock.run_until([] { return false; })) << "something was left to happen";
  EXPECT_EQ(clock.now(), Instant(0)) << "a timer of a destroyed job moved the clock";
  EXPECT_TRUE(log.empty());
}

TEST(Job, leaves_no_waiter_behind_when_it_is_destroyed_after_its_wait_ended) {
  VirtualClock clock;
  Signal signal(clock);
  Log log;
  {
    const Job job(clock.loop(), wait_and_note(clock, signal, Second(1.0), log));
    signal.notify();
  }
  clock.run_for(Second(2.0));
  EXPECT_TRUE(log.empty());
}

Task<int> twice(Clock& clock, int value) {
  auto sleep = clock.sleep_for(Second(0.1));
  co_await sleep;
  if (value < 0) throw std::runtime_error("negative");
  co_return 2 * value;
}

Task<void> sum(Clock& clock, int& result) {
  const int a = co_await twice(clock, 3);
  const int b = co_await twice(clock, 4);
  result = a + b;
}

TEST(Task, gives_its_value_to_who_awaits_it) {
  VirtualClock clock;
  int result = 0;
  const Job job(clock.loop(), sum(clock, result));
  EXPECT_TRUE(clock.run_until([&job] { return job.done(); }));
  EXPECT_EQ(result, 14);
  EXPECT_EQ(clock.now(), Instant(200'000'000));
}

Task<void> fails(Clock& clock) {
  co_await twice(clock, -1);
}

TEST(Job, reports_an_exception_that_leaves_a_root_task_as_a_bug) {
  VirtualClock clock;
  bool reported = false;
  clock.loop().on_bug = [&reported](const std::exception_ptr&) { reported = true; };
  const Job job(clock.loop(), fails(clock));
  clock.run_for(Second(1.0));
  EXPECT_TRUE(reported);
  EXPECT_TRUE(job.done());
}

TEST(Timer, fires_once_and_can_be_set_anew_from_its_own_call) {
  VirtualClock clock;
  Timer timer(clock);
  std::vector<std::int64_t> fired;
  const auto again = [&] {
    fired.push_back(clock.now().ns());
    if (fired.size() == 1) timer.set(clock.now() + Second(1.0), [&] { fired.push_back(clock.now().ns()); });
  };
  timer.set(Instant(500), again);
  clock.run_for(Second(3.0));
  EXPECT_THAT(fired, ElementsAre(500, 1'000'000'500));
}

TEST(Timer, does_not_fire_after_cancel) {
  VirtualClock clock;
  bool fired = false;
  Timer timer(clock);
  timer.set(Instant(10), [&fired] { fired = true; });
  timer.cancel();
  clock.run_for(Second(1.0));
  EXPECT_FALSE(fired);
}

TEST(VirtualClock, runs_posted_work_in_order_before_time_moves) {
  VirtualClock clock;
  Log log;
  const Job job(clock.loop(), sleep_then_note(clock, Second(1.0), "slept", log));
  clock.loop().post([&log] { log.push_back("a"); });
  clock.loop().post([&log] { log.push_back("b"); });
  clock.run_for(Second(1.0));
  EXPECT_THAT(log, ElementsAre("a", "b", "slept"));
}

TEST(VirtualClock, that_falls_behind_fires_late_what_was_due_and_never_goes_back) {
  VirtualClock clock;
  Instant fired_at;
  Timer timer(clock);
  timer.set(clock.now() + Second(1.0), [&] { fired_at = clock.now(); });
  clock.fall_behind(Second(3.0));
  EXPECT_EQ(fired_at, Instant());
  clock.run_for(Second(1.0));
  EXPECT_EQ(fired_at, Instant() + Second(3.0));
  EXPECT_EQ(clock.now(), Instant() + Second(4.0));
}

TEST(VirtualClock, gives_utc_that_moves_with_it) {
  VirtualClock clock;
  clock.run_for(Second(3661.0));
  EXPECT_EQ(clock.utc().rfc3339(), "2026-01-01T01:01:01Z");
}

}  // namespace
}  // namespace leadwright
