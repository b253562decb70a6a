// SPDX-License-Identifier: Apache-2.0
#include "tools/benchmarks/measure.h"

#include <pthread.h>
#include <sched.h>

#include <algorithm>
#include <ctime>
#include <fstream>

#include "daemon/quantities/nearest_rank.h"

namespace leadwright {

namespace {

Second since_zero(clockid_t clock) {
  timespec time{};
  clock_gettime(clock, &time);
  return Second(static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_nsec) * 1e-9);
}

}  // namespace

Second process_cpu() {
  return since_zero(CLOCK_PROCESS_CPUTIME_ID);
}

Second thread_cpu() {
  return since_zero(CLOCK_THREAD_CPUTIME_ID);
}

Instant machine_now() {
  timespec time{};
  clock_gettime(CLOCK_MONOTONIC, &time);
  return Instant(std::int64_t{time.tv_sec} * 1'000'000'000 + time.tv_nsec);
}

Second thread_waited_for_core() {
  // Nanoseconds on a core, nanoseconds waiting for one, turns (Linux, Documentation/scheduler/sched-stats).
  std::ifstream file("/proc/thread-self/schedstat");
  double ran_ns = 0.0;
  double waited_ns = 0.0;
  file >> ran_ns >> waited_ns;
  return Second(waited_ns * 1e-9);
}

bool run_before_others(bool is_before) {
  sched_param priority{};
  priority.sched_priority = is_before ? 10 : 0;
  return pthread_setschedparam(pthread_self(), is_before ? SCHED_FIFO : SCHED_OTHER, &priority) == 0;
}

double microseconds(Second time) {
  return time.si() * 1e6;
}

double microseconds(Second time, std::size_t count) {
  return time.si() * 1e6 / static_cast<double>(count);
}

double milliseconds(Second time) {
  return time.si() * 1e3;
}

Spread spread_of(std::vector<Second> figures) {
  if (figures.empty()) return {};
  std::ranges::sort(figures);
  return {figures.size(), nearest_rank(figures, 0.5), nearest_rank(figures, 0.99),
          nearest_rank(figures, 0.999), figures.back()};
}

std::string verdict(double figure, double aim) {
  return figure <= aim ? "met" : "MISSED";
}

}  // namespace leadwright
