// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include "daemon/clock/real_clock.h"
#include "daemon/clock/virtual_clock.h"

namespace leadwright {
namespace {

// Bench time is arithmetic over machine time, so the machine may be a virtual clock here.
struct Scaled : testing::Test {
  VirtualClock machine;
  boost::asio::io_context context;
  AsioLoop loop{context};
};

TEST_F(Scaled, runs_as_many_times_as_fast_as_it_is_told) {
  const ScaledClock bench(loop, machine, BenchTime{240.0, 0, Utc(0)});
  machine.run_for(Second(1.0));
  EXPECT_EQ(bench.now(), Instant(240'000'000'000));
  EXPECT_DOUBLE_EQ(bench.scale(), 240.0);
}

TEST_F(Scaled, starts_at_its_zero_of_machine_time) {
  const ScaledClock bench(loop, machine, BenchTime{10.0, 2'000'000'000, Utc(0)});
  machine.run_for(Second(2.5));
  EXPECT_EQ(bench.now(), Instant(5'000'000'000));
}

TEST_F(Scaled, counts_utc_in_bench_time_from_its_zero) {
  const ScaledClock bench(loop, machine, BenchTime{60.0, 0, Utc(1'767'225'600'000'000'000)});
  machine.run_for(Second(60.0));
  EXPECT_EQ(bench.utc().rfc3339(), "2026-01-01T01:00:00Z");
}

TEST_F(Scaled, resumes_a_sleeper_after_the_scaled_time_and_not_before) {
  RealClock real(loop);
  ScaledClock bench(loop, real, BenchTime{1000.0, real.now().ns(), Utc(0)});
  Instant woken;
  const Instant due = bench.now() + Second(5.0);
  const auto sleeper = [](Clock& clock, Instant until, Instant& at) -> Task<void> {
    auto sleep = clock.sleep_until(until);
    co_await sleep;
    at = clock.now();
  };
  const Job job(loop, sleeper(bench, due, woken));
  while (!job.done()) context.run_one();
  EXPECT_GE(woken, due);
}

TEST_F(Scaled, wakes_a_sleeper_whose_time_came_while_the_machine_slept) {
  std::int64_t slept_ns = 0;
  RealClock real(loop, [&slept_ns] { return since_boot_ns() + slept_ns; });
  const auto sleeper = [](Clock& clock) -> Task<void> {
    auto sleep = clock.sleep_for(hours(2.0));
    co_await sleep;
  };
  const Job job(loop, sleeper(real));
  const Instant began = real.now();
  slept_ns = 3 * 3'600'000'000'000;
  // The system timer, which stood still, would have two hours left.
  while (!job.done()) context.run_one();
  EXPECT_GE(real.now() - began, hours(3.0));
}

}  // namespace
}  // namespace leadwright
